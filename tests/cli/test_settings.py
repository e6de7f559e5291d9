"""Which configuration holds for a file, and what is wrong with one."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.cli.support import CLEAN, OFF_NECK, run, write


def test_the_nearest_configuration_holds(here: Path) -> None:
    write("tabtools.toml", 'without = ["fret-off-neck"]\n')
    write("pyproject.toml", "[tool.tabtools]\nnonsense = 1\n")
    write("a.txt", OFF_NECK)
    write("sub/pyproject.toml", "[tool.tabtools]\n")
    write("sub/b.txt", OFF_NECK)
    write("other/pyproject.toml", "[tool.other]\n# tabtools\n")
    write("other/c.txt", OFF_NECK)
    result = run("check", ".")
    assert [line.split(":")[0] for line in result.stdout.splitlines() if "fret-off-neck:" in line] == [
        "sub/b.txt"
    ]


def test_a_path_that_leads_up_has_its_own_configuration(here: Path) -> None:
    write("tabtools.toml", 'without = ["fret-off-neck"]\n')
    write("sub/tabtools.toml", "")
    write("lessons/a.txt", OFF_NECK)
    os.chdir("sub")
    assert run("check", "../lessons/a.txt").exit_code == 0
    assert run("check", "../lessons").exit_code == 0
    assert run("check", "..").exit_code == 0


def test_tables_for_paths_and_severities(here: Path) -> None:
    write("tabtools.toml", '[[paths]]\nmatch = ["old/"]\n[paths.rules.fret-off-neck]\nseverity = "info"\n')
    write("old/a.txt", OFF_NECK)
    write("new/a.txt", OFF_NECK)
    result = run("check", ".", "--count")
    assert result.stdout == "2  fret-off-neck\n2 files: 1 error, 0 warnings, 1 info\n"


@pytest.mark.parametrize(
    ("file", "text", "words"),
    [
        ("tabtools.toml", "withou = []", "tabtools.toml: there is no key withou: did you mean without?"),
        ("tabtools.toml", "without = [", "tabtools.toml: "),
        ("pyproject.toml", "[tool.tabtools]\nhand = 1", "pyproject.toml: there is no key hand"),
        ("pyproject.toml", "[tool]\ntabtools = 1", "pyproject.toml: tool.tabtools must be a table"),
    ],
)
def test_a_wrong_configuration_is_one_line(here: Path, file: str, text: str, words: str) -> None:
    write(file, text)
    write("a.txt", CLEAN)
    result = run("check", "a.txt")
    assert (result.exit_code, result.stdout) == (2, "")
    assert words in result.stderr
    assert result.stderr.count("\n") == 1


def test_show_config_is_toml_that_says_the_same(here: Path) -> None:
    import tomllib

    write(
        "tabtools.toml",
        'level = "beginner"\nwithout = ["encoding"]\n[rules.bar-overfull]\nseverity = "info"\n',
    )
    shown = run("check", "--settings-of", "sub/a.txt").stdout
    assert shown.startswith("# from tabtools.toml\n")
    table = tomllib.loads(shown)
    assert table["level"] == "beginner"
    assert table["rules"]["bar-overfull"]["severity"] == "info"
    assert "encoding" not in table["only"]
    write("tabtools.toml", shown)
    assert run("check", "--settings-of", "sub/a.txt").stdout == shown
    Path("tabtools.toml").unlink()
    assert run("check", "--settings-of", "a.txt").stdout.startswith("# no configuration file")


def test_rules_are_chosen_for_one_run(here: Path) -> None:
    write("a.txt", OFF_NECK)
    assert "fret-off-neck" in run("check", "a.txt", "--only", "playability").stdout
    assert "fret-off-neck" not in run("check", "a.txt", "--without", "fret-off-neck").stdout
    unknown = run("check", "a.txt", "--only", "fret-of-neck")
    assert unknown.exit_code == 2
    assert "did you mean fret-off-neck?" in unknown.stderr
