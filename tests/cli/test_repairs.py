"""What repairs write, and what they leave alone."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest

from tabtools.cli.run import run as run_inputs
from tests.cli.support import CLEAN, OFF_NECK, run, write

UNUSED = "tabtools: ignore fret-off-neck because it is long\n"


def _package(name: str, xml: str) -> None:
    import zipfile

    container = '<container><rootfiles><rootfile full-path="x.xml"/></rootfiles></container>'
    with zipfile.ZipFile(name, "w") as archive:
        archive.writestr("META-INF/container.xml", container)
        archive.writestr("x.xml", xml)
        archive.writestr("extra.png", b"picture")


def test_safe_repairs_are_written_and_only_once(here: Path) -> None:
    write("a.txt", UNUSED + CLEAN)
    write("b.txt", CLEAN)
    os.utime("b.txt", (1, 1))
    result = run("check", ".", "--repair")
    assert (result.exit_code, result.stdout) == (0, "2 files: 0 errors, 0 warnings, 0 infos\n")
    assert result.stderr == "a.txt: repaired: unused-ignore 1\n"
    assert Path("a.txt").read_text() == CLEAN
    assert Path("b.txt").stat().st_mtime == 1
    os.utime("a.txt", (1, 1))
    again = run("check", ".", "--repair")
    assert again.stderr == ""
    assert Path("a.txt").stat().st_mtime == 1


def test_a_file_that_changes_meanwhile_is_left_alone(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def slow(*arguments: Any) -> Any:
        results = run_inputs(*arguments)
        write("a.txt", "somebody else's work")
        return results

    monkeypatch.setattr("tabtools.cli.check.run", slow)
    write("a.txt", UNUSED + CLEAN)
    result = run("check", "a.txt", "--repair")
    assert result.exit_code == 2
    assert "a.txt: the file was changed meanwhile" in result.stderr
    assert Path("a.txt").read_text() == "somebody else's work"


def test_what_can_be_repaired_is_told(here: Path) -> None:
    write("a.txt", UNUSED + CLEAN)
    assert "\ncan be repaired: 1 with --repair\n1 file: " in run("check", "a.txt").stdout


def test_diff_shows_and_changes_nothing(here: Path) -> None:
    write("a.txt", UNUSED + CLEAN)
    result = run("check", "a.txt", "--preview")
    assert result.stdout.startswith(f"--- a.txt\n+++ a.txt\n@@ -1,4 +1,3 @@\n-{UNUSED} Tuning")
    assert Path("a.txt").read_text() == UNUSED + CLEAN


def test_repairs_of_standard_input_go_to_standard_output(here: Path) -> None:
    assert run("check", "-", "--repair", stdin=UNUSED + CLEAN).stdout == CLEAN
    result = run("check", "-", "--repair", stdin=OFF_NECK)
    assert (result.exit_code, result.stdout) == (1, OFF_NECK)
    assert "fret-off-neck" in result.stderr


def test_encoding_line_ends_and_packages_stay(here: Path) -> None:
    from tests.lint.test_suppressions import XML

    crlf = ("Café\n" + UNUSED + CLEAN).replace("\n", "\r\n")
    Path("a.txt").write_bytes(crlf.encode("cp1252"))
    run("check", "a.txt", "--repair")
    assert Path("a.txt").read_bytes() == crlf.replace(UNUSED[:-1] + "\r\n", "").encode("cp1252")
    _package("b.mxl", XML.replace("<part-list>", "<!-- tabtools: ignore encoding because x --><part-list>"))
    assert "b.mxl: repaired: unused-ignore 1" in run("check", "b.mxl", "--repair").stderr
    import zipfile

    with zipfile.ZipFile("b.mxl") as archive:
        assert archive.read("x.xml").decode() == XML
        assert archive.read("extra.png") == b"picture"
