from __future__ import annotations

import os
from pathlib import Path

import pytest

from tabtools.source import decode
from tabtools.text.writing.format import format_text
from tests.cli.support import CLEAN, run

LOOSE = """\
   q  q         q   q
e|------------------------|
B|------------------5-----|
G|----5---------7---------|
D|-7----------------------|
A|------------------------|
E|------------------------|
"""


@pytest.fixture
def loose(tmp_path: Path) -> Path:
    path = tmp_path / "loose.txt"
    path.write_bytes(LOOSE.encode())
    return path


@pytest.fixture
def canonical() -> str:
    text = format_text(decode("loose.txt", LOOSE.encode())).text
    assert text != LOOSE
    return text


def test_rewrites_in_place_and_only_once(loose: Path, canonical: str) -> None:
    loose.chmod(0o640)
    result = run("format", loose)
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout == f"{loose}: rewritten\n1 file rewritten\n"
    assert loose.read_text() == canonical
    assert loose.stat().st_mode & 0o777 == 0o640
    os.utime(loose, (1, 1))
    result = run("format", loose)
    assert result.stdout == "0 files rewritten\n"
    assert loose.stat().st_mtime == 1


def test_check_changes_nothing_and_fails(loose: Path) -> None:
    result = run("format", "--tell", loose)
    assert result.exit_code == 1
    assert result.stdout == f"{loose}: would be rewritten\n1 file would be rewritten\n"
    assert loose.read_text() == LOOSE
    run("format", loose)
    assert run("format", "--tell", loose).exit_code == 0


def test_diff_changes_nothing_and_shows_the_change(loose: Path, canonical: str) -> None:
    result = run("format", "--preview", loose)
    assert result.exit_code == 0
    assert result.stdout.startswith(f"--- {loose}\n+++ {loose}\n@@ ")
    for line in LOOSE.splitlines():
        assert f"-{line}\n" in result.stdout or f" {line}\n" in result.stdout
    for line in canonical.splitlines():
        assert f"+{line}\n" in result.stdout or f" {line}\n" in result.stdout
    assert loose.read_text() == LOOSE
    assert run("format", "--preview", "--tell", loose).exit_code == 1


def test_standard_input_goes_to_standard_output(canonical: str) -> None:
    result = run("format", "-", stdin=LOOSE)
    assert (result.exit_code, result.stdout) == (0, canonical)
    assert run("format", "-", stdin=canonical).stdout == canonical


def test_standard_output_holds_the_result_and_nothing_else() -> None:
    result = run("format", "-", stdin="no tab here\n")
    assert (result.exit_code, result.stdout) == (1, "")
    assert "<stdin>:1:1: error unreadable" in result.stderr


def test_encoding_and_line_ends_stay(tmp_path: Path, canonical: str) -> None:
    for encoding in ("utf-8-sig", "cp1252", "utf-16"):
        path = tmp_path / f"{encoding}.txt"
        path.write_bytes(("Café\n\n" + LOOSE).replace("\n", "\r\n").encode(encoding))
        assert run("format", path).exit_code == 0
        assert path.read_bytes() == ("Café\n\n" + canonical).replace("\n", "\r\n").encode(encoding)


def test_a_page_without_tab_is_reported_and_left(tmp_path: Path, loose: Path) -> None:
    words = tmp_path / "words.txt"
    words.write_text("no tab here\n")
    result = run("format", tmp_path)
    assert result.exit_code == 1
    assert f"{words}:1:1: error unreadable" in result.stdout
    assert f"{loose}: rewritten\n" in result.stdout
    assert words.read_text() == "no tab here\n"


def test_a_doubtful_system_stays_and_the_reason_is_given(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    path.write_text(LOOSE.replace("7", "&"))
    before = path.read_bytes()
    result = run("format", path)
    assert result.exit_code == 0
    assert result.stdout == "0 files rewritten\n"
    assert result.stderr.startswith(f"{path}:2: the system stays as it is: ")
    assert path.read_bytes() == before


def test_a_crash_is_our_fault_and_leaves_the_file(loose: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(source: object, **options: object) -> None:
        raise IndexError("too far")

    monkeypatch.setattr("tabtools.text.writing.format.format_text", broken)
    result = run("format", loose)
    assert result.exit_code == 3
    assert "formatting the file failed with IndexError: too far" in result.stdout
    assert loose.read_text() == LOOSE


def test_a_read_only_file_is_one_line(loose: Path) -> None:
    loose.chmod(0o444)
    result = run("format", loose)
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr == f"tabtools: {loose}: the file is read-only\n"


def test_musicxml_is_not_formatted(tmp_path: Path) -> None:
    path = tmp_path / "a.musicxml"
    path.write_text("<?xml version='1.0'?><score-partwise/>")
    result = run("format", path)
    assert result.exit_code == 2
    assert "is MusicXML, and only text tab can be formatted" in result.stderr
    (tmp_path / "b.txt").write_text(CLEAN)
    assert run("format", "--tell", tmp_path).stderr == ""


def test_a_width_cuts_systems_at_bar_lines(tmp_path: Path) -> None:
    path = tmp_path / "wide.txt"
    path.write_text("\n".join(f"{label}|-5---7---5---7---|-5---7---5---7---|" for label in "eBGDAE") + "\n")
    assert run("format", "--width", "22", path).exit_code == 0
    lines = path.read_text().splitlines()
    assert max(map(len, lines)) <= 22
    assert [line for line in lines if line.startswith("e|")] == ["e|-5---7---5---7---|"] * 2
    assert run("format", "--width", "10", path).exit_code == 2


def test_counts_are_written_under_the_strings(loose: Path) -> None:
    assert run("format", "--counts", loose).exit_code == 0
    assert loose.read_text().splitlines()[-1].split() == ["1", "2", "3", "4"]
    assert run("format", "--counts", "--tell", loose).exit_code == 0
