"""Start-up is part of the product: what a command must not load."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

HEAVY = {
    "music21",
    "lxml",
    "numpy",
    "scipy",
    "matplotlib",
    "requests",
    "jsonschema",
    "partitura",
    "verovio",
    "typst",
}
PROGRAM = """
import sys
from tabtools.cli import main
try:
    main(sys.argv[1:])
except SystemExit as end:
    print(end.code, *sorted(sys.modules), file=sys.stderr)
"""
LICK = Path(__file__).parent / "cases" / "cli" / "lick.txt"


def _run(*arguments: str | Path) -> tuple[int, set[str]]:
    """Exit code of a command in a fresh process, and the modules that it loaded."""
    command = [sys.executable, "-c", PROGRAM, *map(str, arguments)]
    process = subprocess.run(command, capture_output=True, text=True, check=True, timeout=60)
    code, *modules = process.stderr.split()
    return int(code), set(modules)


def _rules(modules: set[str]) -> set[str]:
    """The rules among modules, by file name."""
    parts = (name.split(".") for name in modules if name.startswith("tabtools.lint.rules."))
    return {names[4] for names in parts if len(names) > 4}


def _packages(modules: set[str]) -> set[str]:
    return {name.partition(".")[0] for name in modules}


@pytest.mark.parametrize(
    "arguments", [["--version"], ["--help"], ["explain"], ["check", "--forget", LICK]], ids=str
)
def test_nothing_heavy_is_loaded(arguments: list[str | Path]) -> None:
    code, modules = _run(*arguments)
    assert code == 0
    assert _packages(modules) & HEAVY == set()


def test_the_version_needs_no_part_but_the_command_line() -> None:
    _, modules = _run("--version")
    own = {name for name in modules if name.startswith("tabtools")}
    assert own == {"tabtools", "tabtools.cli", "tabtools.cli.output"}


def test_checking_text_tab_loads_no_other_format() -> None:
    _, modules = _run("check", "--forget", LICK)
    assert not [name for name in modules if name.startswith(("tabtools.musicxml", "tabtools.dump"))]


def test_checking_text_tab_declares_its_records_itself_and_takes_paths_as_text() -> None:
    _, modules = _run("check", "--forget", LICK)
    assert modules & {"dataclasses", "pathlib", "_hashlib"} == set()


def test_a_rule_is_loaded_where_it_can_have_something_to_say(tmp_path: Path) -> None:
    _, modules = _run("check", "--forget", LICK)
    loaded = _rules(modules)
    assert {"wide_stretch", "bar_overfull"} <= loaded
    assert not loaded & {"uneven_lines", "broken_tie", "duplicate_title", "rhythm_unclear", "harmonic_node"}
    page = tmp_path / "page.txt"
    page.write_text(LICK.read_text().replace("-----|", "----|", 1))
    _, modules = _run("check", "--forget", page)
    assert "uneven_lines" in _rules(modules)


def test_words_that_name_no_form_load_no_forms(tmp_path: Path) -> None:
    page = tmp_path / "page.txt"
    page.write_text(LICK.read_text().replace("   Am ", "   Play it softly\n   Am "))
    code, modules = _run("check", "--forget", page)
    assert code == 0
    assert {name for name in modules if name.startswith("tabtools.forms.")} == {"tabtools.forms.written"}


def test_explaining_a_rule_loads_that_rule_alone() -> None:
    _, modules = _run("explain", "encoding")
    assert _rules(modules) == {"encoding"}


def test_the_package_alone_loads_next_to_nothing() -> None:
    program = "import sys, tabtools; print(*sorted(sys.modules))"
    output = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, check=True
    ).stdout
    assert {name for name in output.split() if name.startswith("tabtools")} == {"tabtools"}
