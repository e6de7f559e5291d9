"""``tabtools move`` on the command line."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.support import run

_SAMPLES = Path(__file__).parents[2] / "samples"
_FORMS = _SAMPLES / "02-three-forms-one-hand.txt"


def test_a_lesson_in_another_key(tmp_path: Path) -> None:
    out = tmp_path / "in-e.txt"
    result = run("move", _FORMS, "--to-key", "E", "-o", out)
    assert (result.exit_code, result.stdout) == (0, "")
    assert "lines 7, 8, 9: these sentences name notes or places" in result.stderr
    text = out.read_text("utf-8")
    assert "Key: E major" in text
    assert "A form, 7th pos.  D form, 7th pos.  C form, 11th pos." in text
    checked = run("check", out, "--forget", "--report", "json")
    assert checked.exit_code == 0
    assert '"severity": "info"' in checked.stdout
    assert '"severity": "warning"' not in checked.stdout


def test_a_bar_that_cannot_move_is_told_and_nothing_written(tmp_path: Path) -> None:
    out = tmp_path / "out.txt"
    result = run("move", _SAMPLES / "05-open-strings-and-bells.txt", "--by", "2", "-o", out)
    assert result.exit_code == 1
    assert "bar 4: " in result.stdout
    assert "natural harmonic" in result.stdout
    assert not out.exists()


def test_a_lesson_for_each_key_round_the_circle(tmp_path: Path) -> None:
    result = run("move", _FORMS, "--each", "keys", "--out-dir", tmp_path)
    names = sorted(path.name for path in tmp_path.iterdir())
    assert f"{len(names)} of 12 lessons written" in result.stderr
    assert "02-three-forms-one-hand-in-F-sharp.txt" in names
    assert len(names) >= 11


@pytest.mark.parametrize(
    "arguments",
    [
        (),
        ("--to-key", "H"),
        ("--to-key", "A", "--by", "2"),
        ("--to-form", "B"),
        ("--by", "1", "--bars", "3-99"),
        ("--by", "1", "--part", "Bass"),
        ("--by", "1", "--each", "forms"),
        ("--capo", "2", "--bars", "1-2"),
    ],
    ids=str,
)
def test_what_makes_no_sense_is_refused(arguments: tuple[str, ...]) -> None:
    assert run("move", _FORMS, *arguments).exit_code == 2
