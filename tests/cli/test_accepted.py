"""A list of accepted findings accepts what is there and nothing new."""

from __future__ import annotations

from pathlib import Path

from tests.cli.support import CLEAN, OFF_NECK, run, write


def test_an_accepted_list_accepts_what_is_there_and_nothing_new(here: Path) -> None:
    write("a.txt", OFF_NECK)
    result = run("check", ".", "--accept-into", "known.json")
    assert (result.exit_code, result.stdout) == (
        0,
        "known.json accepts 1 finding in 1 file from now on\n",
    )
    assert run("check", ".", "--accepted", "known.json").exit_code == 0
    write("a.txt", "A line more\n\n" + OFF_NECK)
    assert run("check", ".", "--accepted", "known.json").exit_code == 0
    write("a.txt", OFF_NECK + "\n" + OFF_NECK)
    result = run("check", ".", "--accepted", "known.json")
    assert (result.exit_code, result.stdout.count("error fret-off-neck")) == (1, 1)
    write("a.txt", CLEAN)
    result = run("check", ".", "--accepted", "known.json")
    assert "known.json accepts 1 finding no longer there" in result.stderr
    for text in ("{", "[]", '{"format": "tabtools-accepted", "version": 1, "files": 1}'):
        write("known.json", text)
        assert run("check", ".", "--accepted", "known.json").exit_code == 2
