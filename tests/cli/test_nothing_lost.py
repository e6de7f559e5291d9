"""Files of the user: none is overwritten, deleted or robbed of what it holds by mistake."""

from __future__ import annotations

import os
import zipfile
from pathlib import Path

import pytest

from tabtools.cli import files
from tabtools.cli.files import write_atomic
from tests.cli.support import CLEAN, OFF_NECK, run, write

REPAIRABLE = CLEAN + "tabtools: ignore fret-off-neck in file because the neck is long\n"


def test_a_cache_goes_into_no_directory_that_holds_other_files(here: Path) -> None:
    write("a.txt", CLEAN)
    write("package.json", "{}")
    os.utime("package.json", (0, 0))
    result = run("check", "a.txt", "--memory-dir", ".")
    assert result.exit_code == 2
    assert "holds other files" in result.stderr
    assert sorted(os.listdir()) == ["a.txt", "package.json"]


def test_a_cache_deletes_nothing_but_its_own_old_files(here: Path) -> None:
    write("a.txt", CLEAN)
    assert run("check", "a.txt", "--memory-dir", "cache").exit_code == 0
    write("cache/notes.json", "{}")
    write(f"cache/{'0' * 24}.json", "{}")
    for name in ("notes.json", f"{'0' * 24}.json"):
        os.utime(f"cache/{name}", (0, 0))
    write("a.txt", CLEAN + "\n")
    assert run("check", "a.txt", "--memory-dir", "cache").exit_code == 0
    assert (here / "cache" / "notes.json").exists()
    assert not (here / "cache" / f"{'0' * 24}.json").exists()


@pytest.mark.parametrize("option", ["--accept-into={}", "--report=json:{}"])
@pytest.mark.parametrize("other_name", [False, True])
def test_a_lesson_is_no_place_for_a_report(here: Path, option: str, other_name: bool) -> None:
    write("a.txt", OFF_NECK)
    write("b.txt", OFF_NECK)
    (here / "link").symlink_to(here / "a.txt")
    result = run("check", "a.txt", "b.txt", option.format("link" if other_name else "a.txt"))
    assert result.exit_code == 2
    assert (here / "a.txt").read_text() == OFF_NECK


def test_an_accepted_list_takes_the_place_of_nothing_but_one(here: Path) -> None:
    write("a.txt", OFF_NECK)
    write("list.json", "[1]")
    assert run("check", "a.txt", "--accept-into", "list.json").exit_code == 2
    assert (here / "list.json").read_text() == "[1]"
    for _ in range(2):
        assert run("check", "a.txt", "--accept-into", "accepted.json").exit_code == 0


def test_a_lesson_is_not_replaced_by_one_without_its_words(here: Path) -> None:
    page = CLEAN + "\nTake your time here.\n"
    write("a.txt", page.replace("-5---|", "-17--|"))
    before = (here / "a.txt").read_bytes()
    result = run("finger", "a.txt", "-o", "a.txt", "--rework")
    assert (here / "a.txt").read_bytes() == before or "Take your time" in (here / "a.txt").read_text()
    assert result.exit_code in (0, 2)


def test_a_result_takes_the_place_of_no_other_input(here: Path) -> None:
    write("one/a.txt", CLEAN)
    write("a.json", CLEAN)
    (here / "x").mkdir()
    os.symlink(here / "a.json", here / "x" / "a.json")
    result = run("convert", "one", "a.json", "--out-dir", ".", "--to", "json")
    assert result.exit_code == 2
    assert (here / "a.json").read_text() == CLEAN


@pytest.mark.parametrize("command", [("check", "--repair", "--forget"), ("format",)])
def test_what_was_changed_meanwhile_stays(
    here: Path, command: tuple[str, ...], monkeypatch: pytest.MonkeyPatch
) -> None:
    before = REPAIRABLE.replace("Key: A minor", "key:A minor")
    write("a.txt", before)
    really = files.write_atomic

    def late(path: str, data: bytes, **kept: object) -> None:
        (here / "a.txt").write_text(before + "a word more\n")
        really(path, data, **kept)  # type: ignore[arg-type]

    for module in ("check", "format"):
        monkeypatch.setattr(f"tabtools.cli.{module}.write_atomic", late)
    result = run(*command, "a.txt")
    assert (here / "a.txt").read_text() == before + "a word more\n"
    assert "changed meanwhile" in result.stderr
    assert result.exit_code == 2


def test_one_bad_file_stops_no_run(here: Path) -> None:
    write("a.txt", REPAIRABLE)
    write("b.txt", REPAIRABLE)
    (here / "a.txt").chmod(0o444)
    result = run("check", ".", "--repair", "--forget")
    assert "a.txt: the file is read-only" in result.stderr
    assert "b.txt: repaired" in result.stderr
    assert result.exit_code == 2
    assert result.stdout.endswith("infos\n")


def test_a_file_that_goes_meanwhile_is_a_finding(here: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write("a.txt", CLEAN)
    write("b.txt", OFF_NECK)
    really = files.Input.read

    def read(entry: files.Input) -> bytes:
        if entry.name == "a.txt":
            raise FileNotFoundError(2, "No such file or directory", "a.txt")
        return really(entry)

    monkeypatch.setattr(files.Input, "read", read)
    result = run("check", ".", "--forget")
    assert result.exit_code == 1
    assert "a.txt:1:1: error unreadable: the file can't be read" in result.stdout
    assert "b.txt" in result.stdout


@pytest.mark.parametrize("length", [244, 255])
def test_a_long_name_is_written(here: Path, length: int) -> None:
    name = "a" * (length - 4) + ".txt"
    write_atomic(name, b"1")
    write_atomic(name, b"2", before=b"1")
    assert (here / name).read_bytes() == b"2"
    assert os.listdir() == [name]


def test_hard_links_are_not_parted(here: Path) -> None:
    write("a.txt", "1")
    os.link("a.txt", "b.txt")
    with pytest.raises(OSError, match="2 names"):
        write_atomic("a.txt", b"2")
    assert (here / "b.txt").read_text() == "1"


def test_what_is_packed_with_a_score_does_not_stop_its_repair(here: Path) -> None:
    package = Path(__file__).parents[1] / "cases" / "breakers" / "04-fix-exit3-compressible-attachment.mxl"
    (here / "a.mxl").write_bytes(package.read_bytes())
    result = run("check", "--repair", "--forget", "a.mxl")
    assert result.exit_code in (0, 1), result.stderr
    with zipfile.ZipFile("a.mxl") as after, zipfile.ZipFile(package) as before:
        names = [name for name in before.namelist() if not name.endswith(".xml")]
        assert all(after.read(name) == before.read(name) for name in names)
