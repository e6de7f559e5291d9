from __future__ import annotations

import os
from pathlib import Path

import pytest

from tabtools.cli.files import discover, write_atomic
from tabtools.reading import looks_like_musicxml

SCORE = b"<?xml version='1.0'?>\n<!-- a lick -->\n<score-partwise version='4.0'/>"


def _names(directory: Path) -> list[str]:
    return sorted(path.name for path in directory.iterdir())


@pytest.mark.parametrize(
    ("data", "expected"),
    [
        (SCORE, True),
        (b"\xef\xbb\xbf" + SCORE, True),
        (SCORE.decode().encode("utf-16"), True),
        (b"\n <score-timewise>", True),
        (b"<!-- x --><score-partwise>", True),
        (b"PK\x03\x04", True),
        (b"PM----|\ne|-3-|", False),
        (b"<pre>\ne|-3-|\n</pre>", False),
        (b"e|-<12>-|", False),
        (b"", False),
    ],
)
def test_musicxml_is_known_by_how_it_begins(data: bytes, expected: bool) -> None:
    assert looks_like_musicxml(data) is expected


def test_xml_in_a_directory_counts_only_when_it_holds_a_score(tmp_path: Path) -> None:
    (tmp_path / "a.xml").write_bytes(SCORE)
    (tmp_path / "b.xml").write_bytes(SCORE.decode().encode("utf-16"))
    (tmp_path / "pom.xml").write_bytes(b"<?xml version='1.0'?><project/>")
    os.mkfifo(tmp_path / "pipe.txt")
    assert [entry.relative for entry in discover([str(tmp_path)])] == ["a.xml", "b.xml"]
    assert [entry.name for entry in discover([str(tmp_path / "pom.xml")])] == [str(tmp_path / "pom.xml")]


def test_inputs_keep_the_order_of_the_paths_and_their_place_below_them(tmp_path: Path) -> None:
    for name in ("z.txt", "d/y.txt", "d/e/x.txt"):
        (tmp_path / name).parent.mkdir(parents=True, exist_ok=True)
        (tmp_path / name).write_text("x")
    found = discover([str(tmp_path / "z.txt"), str(tmp_path / "d"), "-", str(tmp_path / "d" / "y.txt"), "-"])
    assert [entry.relative for entry in found] == ["z.txt", "e/x.txt", "y.txt", "stdin"]


@pytest.mark.parametrize(
    ("typed", "shown"), [(".", ""), ("./", ""), ("d", "d/"), ("d/", "d/"), ("./d", "d/"), ("d/..", "d/../")]
)
def test_files_are_named_from_the_directory_as_typed(here: Path, typed: str, shown: str) -> None:
    (here / "d").mkdir()
    (here / "a.txt").write_text("x")
    (here / "d" / "a.txt").write_text("x")
    assert f"{shown}a.txt" in [entry.name for entry in discover([typed])]


def test_writing_makes_and_replaces_a_file_and_leaves_nothing_beside_it(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    write_atomic(str(path), b"one")
    assert path.stat().st_mode & 0o777 == 0o666 & ~_umask()
    path.chmod(0o640)
    write_atomic(str(path), b"two")
    assert path.read_bytes() == b"two"
    assert path.stat().st_mode & 0o777 == 0o640
    assert _names(tmp_path) == ["a.txt"]


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def test_a_link_keeps_pointing(tmp_path: Path) -> None:
    target, link = tmp_path / "target.txt", tmp_path / "link.txt"
    target.write_bytes(b"one")
    link.symlink_to("target.txt")
    write_atomic(str(link), b"two")
    assert link.is_symlink()
    assert target.read_bytes() == b"two"


def test_a_read_only_file_is_left_alone(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    path.write_bytes(b"one")
    path.chmod(0o444)
    with pytest.raises(PermissionError, match="read-only"):
        write_atomic(str(path), b"two")
    assert path.read_bytes() == b"one"


def test_a_failure_half_way_keeps_the_old_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "a.txt"
    path.write_bytes(b"one")

    def full(descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space") as caught:
        write_atomic(str(path), b"two")
    assert caught.value.filename == str(path)
    assert path.read_bytes() == b"one"
    assert _names(tmp_path) == ["a.txt"]


def test_a_device_is_written_to_and_not_replaced() -> None:
    write_atomic(os.devnull, b"two")
    assert not Path(os.devnull).is_file()
