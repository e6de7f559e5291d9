"""The .mxl package: a zip archive with one score in it, opened with care, packed the same way each time."""

from __future__ import annotations

import io
import zipfile
import zlib

from lxml import etree

from tabtools.source import MAX_BYTES, UnreadableError, too_large

MAX_RATIO = 200
# The list of files in an archive: enough for some ten thousand, where a score has a handful.
MAX_DIRECTORY = 1_000_000

_CONTAINER = "META-INF/container.xml"
_SCORE = "score.musicxml"
_MIMETYPE = "application/vnd.recordare.musicxml"
_CONTAINER_XML = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    f'<container><rootfiles><rootfile full-path="{_SCORE}" media-type="{_MIMETYPE}+xml"/>'
    "</rootfiles></container>\n"
)
# The earliest time that a zip archive can hold: the same score gives the same bytes.
_NO_TIME = (1980, 1, 1, 0, 0, 0)
_UNIX = 3
_ENCRYPTED = 1  # bit 0 of an entry's flags (APPNOTE 4.4.4, from memory)
_DAMAGED = (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, RuntimeError, OSError, ValueError)


def is_package(data: bytes) -> bool:
    """Whether the bytes begin as a zip archive does."""
    return data.startswith(b"PK")


def unpack(data: bytes, limit: int = MAX_BYTES) -> bytes:
    """The XML of the score in an .mxl package, as its container file names it.

    Raises UnreadableError for a damaged archive, a missing score, a path that leads out of the archive, an
    entry that inflates to more than ``limit`` bytes or MAX_RATIO times its size, and a list of files that
    takes more than MAX_DIRECTORY bytes.
    """
    _check_directory(data)
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return _entry(archive, _score_path(_entry(archive, _CONTAINER)), limit)
    except _DAMAGED as error:
        raise UnreadableError(f"the .mxl package is damaged: {error}") from None


def _check_directory(data: bytes) -> None:
    """Refuse an archive whose list of files is too long to be read at all.

    The size of the list stands 12 bytes into the record that ends the archive (APPNOTE 4.3.16, from memory).
    """
    end = data.rfind(b"PK\x05\x06")
    size = int.from_bytes(data[end + 12 : end + 16], "little") if end >= 0 else 0
    if size > MAX_DIRECTORY:
        raise UnreadableError(f"the .mxl package lists its files in {size} bytes: that is no score")


def pack(xml: bytes) -> bytes:
    """An .mxl package of one score; the same XML gives the same bytes."""
    buffer = io.BytesIO()
    with zipfile.ZipFile(buffer, "w") as archive:
        archive.writestr(_info("mimetype", zipfile.ZIP_STORED), _MIMETYPE)
        archive.writestr(_info(_CONTAINER, zipfile.ZIP_DEFLATED), _CONTAINER_XML)
        archive.writestr(_info(_SCORE, zipfile.ZIP_DEFLATED), xml)
    return buffer.getvalue()


def repack(package: bytes, xml: bytes) -> bytes:
    """A package with another score in the place of its own; everything else in it stays.

    Raises UnreadableError as `unpack` does.
    """
    _check_directory(package)
    buffer = io.BytesIO()
    try:
        with zipfile.ZipFile(io.BytesIO(package)) as old, zipfile.ZipFile(buffer, "w") as new:
            score = _score_path(_entry(old, _CONTAINER))
            new.comment = old.comment
            room = MAX_BYTES
            for info in old.infolist():
                data = xml if info.filename == score else _attachment(old, info, room)
                room -= len(data)
                new.writestr(info, data)
    except _DAMAGED as error:
        raise UnreadableError(f"the .mxl package is damaged: {error}") from None
    return buffer.getvalue()


def _info(name: str, method: int) -> zipfile.ZipInfo:
    info = zipfile.ZipInfo(name, _NO_TIME)
    info.compress_type = method
    info.create_system = _UNIX
    info.external_attr = 0o644 << 16
    return info


def _entry(archive: zipfile.ZipFile, name: str, limit: int = MAX_BYTES) -> bytes:
    """One file of the archive, inflated within the limits."""
    try:
        info = archive.getinfo(name)
    except KeyError:
        raise UnreadableError(f"the .mxl package has no {name}: it is incomplete, or not a score") from None
    return _inflated(archive, info, limit)


def _inflated(archive: zipfile.ZipFile, info: zipfile.ZipInfo, limit: int = MAX_BYTES) -> bytes:
    """What an entry of the archive holds, within the limits."""
    name = info.filename
    if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
        raise UnreadableError(f"{name} in the .mxl package is not compressed with DEFLATE, as it should be")
    if info.flag_bits & _ENCRYPTED:
        raise UnreadableError(
            f"{name} in the .mxl package is encrypted: unpack it with the program that made it"
        )
    if info.file_size > MAX_RATIO * max(info.compress_size, 1):
        raise UnreadableError(
            f"{name} in the .mxl package would grow from {info.compress_size} to {info.file_size} bytes: "
            "that is no score"
        )
    if info.file_size > limit:
        raise too_large(limit, info.file_size)
    # No more than the size that was just checked comes out, whatever the compressed data holds.
    with archive.open(info) as file:
        return file.read(info.file_size)


def _attachment(archive: zipfile.ZipFile, info: zipfile.ZipInfo, room: int) -> bytes:
    """What goes along with the score, however well it was compressed; all of it takes MAX_BYTES at most."""
    if info.file_size > max(room, 0):
        raise UnreadableError(f"the .mxl package holds more than {MAX_BYTES} bytes beside its score")
    with archive.open(info) as file:
        return file.read(info.file_size)


def _score_path(container: bytes) -> str:
    """The path of the first root file in a container file that is no other kind of file."""
    parser = etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False, huge_tree=False)
    try:
        root = etree.fromstring(container, parser)
    except etree.XMLSyntaxError as error:
        raise UnreadableError(f"{_CONTAINER} in the .mxl package is not XML: {error.msg}") from None
    files = list(root.iter("{*}rootfile"))
    scores = [element for element in files if "musicxml" in (element.get("media-type") or "musicxml")]
    path: str | None = next((element.get("full-path") for element in scores or files), None)
    if not path:
        raise UnreadableError(f"{_CONTAINER} in the .mxl package names no score")
    if path.startswith("/") or "\\" in path or ".." in path.split("/"):
        raise UnreadableError(f"the .mxl package names a score outside itself: {path}")
    return path
