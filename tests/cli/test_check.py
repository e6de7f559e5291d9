from __future__ import annotations

import json
from pathlib import Path

import pytest

from tabtools.lint.rules import load
from tabtools.source import MAX_BYTES
from tests.cli.support import CLEAN, OFF_NECK, RAGGED, run
from tests.schemas import assert_valid


def _file(directory: Path, data: str | bytes, name: str = "lick.txt") -> Path:
    path = directory / name
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(data if isinstance(data, bytes) else data.encode())
    return path


def test_a_clean_file_is_done(tmp_path: Path) -> None:
    result = run("check", _file(tmp_path, CLEAN))
    assert (result.exit_code, result.stderr) == (0, "")
    assert result.stdout == "1 file: 0 errors, 0 warnings, 0 infos\n"


def test_a_finding_points_at_the_characters(tmp_path: Path) -> None:
    path = _file(tmp_path, OFF_NECK)
    result = run("check", path)
    assert (result.exit_code, result.stderr) == (1, "")
    lines = result.stdout.split("\n")
    assert lines[0].startswith(f"{path}:8:4: error fret-off-neck: fret 27 on string 4 would sound F5")
    assert lines[1:3] == ["  8  D|-27--------------|", "        ^^"]
    assert lines[-2] == "1 file: 1 error, 0 warnings, 0 infos"


def test_the_byte_order_mark_does_not_move_columns(tmp_path: Path) -> None:
    crlf = OFF_NECK.replace("\n", "\r\n").encode("utf-8-sig")
    path = _file(tmp_path, crlf)
    assert run("check", path).stdout.startswith(f"{path}:8:4: ")


@pytest.mark.parametrize(
    ("text", "fail_from", "code"),
    [
        (CLEAN, "info", 0),
        (RAGGED, "error", 0),
        (RAGGED, "warning", 1),
        (RAGGED, "info", 1),
        (OFF_NECK, "error", 1),
        (load("colour-note").bad, "info", 1),
        (load("colour-note").bad, "warning", 0),
    ],
)
def test_fail_on(tmp_path: Path, text: str, fail_from: str, code: int) -> None:
    assert run("check", "--fail-from", fail_from, _file(tmp_path, text)).exit_code == code


def test_json_holds_the_same_findings_and_fits_the_schema(tmp_path: Path) -> None:
    path = _file(tmp_path, OFF_NECK)
    result = run("check", "--report", "json", path)
    assert result.exit_code == 1
    whole = json.loads(result.stdout)
    assert_valid("findings", result.stdout)
    (finding,) = whole["findings"]
    assert (finding["path"], finding["line"], finding["column"]) == (str(path), 8, 4)
    assert (finding["end_line"], finding["end_column"], finding["bar"]) == (8, 6, 1)
    assert whole["summary"]["by_rule"] == {"fret-off-neck": 1}


def test_standard_input() -> None:
    result = run("check", "-", stdin=OFF_NECK)
    assert result.exit_code == 1
    assert result.stdout.startswith("<stdin>:8:4: error")


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "the file is empty"),
        (b" \n\n", "the file is empty"),
        (b"\x00\x01\x02binary", "the file is not text"),
        (b"just some words\n", "no tab found"),
        (b"\xff\xfea", "UTF-16"),
        (b"PK\x03\x04 not a zip archive", "damaged"),
        (b"<?xml version='1.0'?><score-partwise>", ""),
        (b"<?xml version='1.0'?><html/>", ""),
    ],
)
def test_a_file_that_cannot_be_read_is_one_finding(tmp_path: Path, data: bytes, words: str) -> None:
    result = run("check", "--report", "json", _file(tmp_path, data))
    assert (result.exit_code, result.stderr) == (1, "")
    (finding,) = json.loads(result.stdout)["findings"]
    assert (finding["rule"], finding["severity"]) == ("unreadable", "error")
    assert words in finding["message"]


def test_an_unreadable_file_has_a_place_but_no_excerpt(tmp_path: Path) -> None:
    path = _file(tmp_path, b"one\ntwo\n\x00\n")
    lines = run("check", path).stdout.split("\n")
    assert lines[0].startswith(f"{path}:3:1: error unreadable: the file is not text")
    assert lines[1:] == ["", "by rule: unreadable 1", "1 file: 1 error, 0 warnings, 0 infos", ""]


def test_a_huge_file_is_refused_before_it_is_read(tmp_path: Path) -> None:
    path = tmp_path / "huge.txt"
    with path.open("wb") as file:
        file.truncate(50_000_000)
    result = run("check", path)
    assert result.exit_code == 1
    assert "unreadable: the file has 50.0 MB, over the limit of 20 MB" in result.stdout
    assert "goes on past the limit" in run("check", "-", stdin=b"-" * (MAX_BYTES + 1)).stdout


def test_windows_text_gives_one_warning(tmp_path: Path) -> None:
    result = run("check", _file(tmp_path, ("Café\n" + CLEAN).encode("cp1252")))
    assert result.exit_code == 1
    assert result.stdout.count("warning encoding:") == 1
    assert "1 file: 0 errors, 1 warning, 0 infos" in result.stdout


def test_a_directory_stands_for_the_tab_files_in_it(tmp_path: Path) -> None:
    for name in ("b.tab", "a.TXT", "sub/c.txt", ".hidden/d.txt", ".e.txt", "f.md", "other.xml"):
        _file(tmp_path, OFF_NECK, name)
    result = run("check", "--report", "json", tmp_path)
    whole = json.loads(result.stdout)
    found = [finding["path"].removeprefix(f"{tmp_path}/") for finding in whole["findings"]]
    assert found == ["a.TXT", "b.tab", "sub/c.txt"]
    assert whole["summary"]["files"] == 3


def test_a_file_that_is_named_is_taken_whatever_its_name_and_once(tmp_path: Path) -> None:
    path = _file(tmp_path, CLEAN, "notes.md")
    tab = _file(tmp_path, CLEAN, "a.tab")
    assert run("check", path, tmp_path, tab).stdout.startswith("2 files: ")


def test_a_directory_without_tab_says_so(tmp_path: Path) -> None:
    result = run("check", tmp_path)
    assert (result.exit_code, result.stdout) == (2, "")
    assert "no files to check" in result.stderr
