"""The .mxl package: what goes in comes out, and nothing harmful does."""

from __future__ import annotations

import io
import zipfile

import pytest

from tabtools.musicxml.package import is_package, pack, unpack
from tabtools.source import UnreadableError
from tests.musicxml.faulty import container, zipped

_XML = b"<score-partwise/>"


def _with_score(path: str, **files: bytes) -> bytes:
    return zipped({"META-INF/container.xml": container(path)} | files)


def test_what_is_packed_comes_out() -> None:
    data = pack(_XML)
    assert is_package(data)
    assert unpack(data) == _XML


def test_the_same_score_gives_the_same_bytes() -> None:
    assert pack(_XML) == pack(_XML)


def test_mimetype_is_first_stored_and_exact() -> None:
    """MusicXML 4.0 tutorial, compressed .mxl files."""
    data = pack(_XML)
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        first = archive.infolist()[0]
        assert (first.filename, first.compress_type, first.extra) == ("mimetype", zipfile.ZIP_STORED, b"")
        assert archive.read("mimetype") == b"application/vnd.recordare.musicxml"
    assert data[30:38] == b"mimetype"


def test_the_container_decides_not_the_first_xml_file() -> None:
    data = zipped({"a.xml": b"<other/>", "META-INF/container.xml": container("in/b.xml"), "in/b.xml": _XML})
    assert unpack(data) == _XML


@pytest.mark.parametrize(
    ("data", "reason"),
    [
        (b"PK\x03\x04 and no more", "damaged"),
        (pack(_XML)[:-30], "damaged"),
        (zipped({"score.xml": _XML}), "no META-INF/container.xml"),
        (_with_score("score.xml"), "no score.xml"),
        (zipped({"META-INF/container.xml": b"<container>"}), "not XML"),
        (zipped({"META-INF/container.xml": b"<container/>"}), "names no score"),
        (_with_score("../../etc/passwd"), "outside itself"),
        (_with_score("/etc/passwd"), "outside itself"),
        (_with_score("..\\score.xml"), "outside itself"),
        (zipped({"META-INF/container.xml": container("s.xml")}, zipfile.ZIP_BZIP2), "DEFLATE"),
    ],
)
def test_bad_packages_are_refused(data: bytes, reason: str) -> None:
    with pytest.raises(UnreadableError, match=reason):
        unpack(data)


def test_a_damaged_entry_is_refused() -> None:
    data = bytearray(_with_score("s.xml", **{"s.xml": bytes(range(256)) * 20}))
    place = data.index(b"s.xml", 120) + 60
    data[place : place + 20] = b"\xff" * 20
    with pytest.raises(UnreadableError, match="damaged"):
        unpack(bytes(data))


def test_a_zip_bomb_is_refused() -> None:
    with pytest.raises(UnreadableError, match="would grow from"):
        unpack(_with_score("s.xml", **{"s.xml": b"<a>" + b" " * 5_000_000 + b"</a>"}))


def test_too_much_is_refused_whatever_the_ratio_unless_it_is_allowed() -> None:
    data = _with_score("s.xml", **{"s.xml": bytes(range(256)) * 4})
    with pytest.raises(UnreadableError, match="over the limit"):
        unpack(data, 1000)
    assert len(unpack(data, 1024)) == 1024


def test_a_size_that_lies_lets_no_more_out() -> None:
    """An entry that declares 10 bytes and inflates to a million."""
    data = bytearray(_with_score("s.xml", **{"s.xml": b" " * 1_000_000}))
    true, false = (1_000_000).to_bytes(4, "little"), (10).to_bytes(4, "little")
    while true in data:
        place = data.index(true)
        data[place : place + 4] = false
    with pytest.raises(UnreadableError):
        unpack(bytes(data))
