"""Bytes to text, and the way back from a place in the text to line and column."""

from __future__ import annotations

import codecs
import re
from bisect import bisect_right
from collections.abc import Iterable
from functools import lru_cache
from typing import Final

from tabtools.record import NamedTuple

# Larger files are refused unless they are allowed; no page of tab comes near it.
MAX_BYTES = 20_000_000

_LINE_END = re.compile(r"\r\n|\r|\n")
BOMS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
# A remark to this program, not to the reader of a page: from these words to the end of the line or comment.
REMARK = re.compile(
    r"\b[Tt]abtools:[ \t]*(?P<words>ign(?:(?!-->)[^\r\n \t]|[ \t]++(?!-->|[\r\n]|\Z))*)[ \t]*(?=-->|\r|\n|\Z)"
)
_BINARY = re.compile(rb"[\x00-\x08\x0e-\x1a\x1c-\x1f]")


class Span:
    """A half-open range of character offsets in the decoded text of one file; never changed."""

    __slots__ = ("end", "start")

    def __init__(self, start: int, end: int) -> None:
        self.start: Final = start
        self.end: Final = end

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Span) and (self.start, self.end) == (other.start, other.end)

    def __hash__(self) -> int:
        return hash((self.start, self.end))

    def __repr__(self) -> str:
        return f"Span(start={self.start}, end={self.end})"


class Edit(NamedTuple):
    """Put ``text`` in the place of the characters of ``span``; an empty span inserts."""

    span: Span
    text: str


def applied(text: str, edits: Iterable[Edit]) -> str:
    """``text`` with edits that do not overlap; insertions at one place keep their order."""
    pieces: list[str] = []
    done = 0
    for edit in sorted(edits, key=lambda edit: (edit.span.start, edit.span.end)):
        pieces += (text[done : edit.span.start], edit.text)
        done = edit.span.end
    return "".join([*pieces, text[done:]])


class UnreadableError(Exception):
    """The file as a whole cannot be read; ``line`` and ``column`` (1-based) where that is known."""

    def __init__(self, reason: str, line: int = 1, column: int = 1) -> None:
        super().__init__(reason)
        self.reason = reason
        self.line = line
        self.column = column


class Source(NamedTuple):
    """One file as text. ``bom`` is the byte order mark that it began with; it is not part of the text."""

    name: str
    text: str
    encoding: str = "utf-8"
    bom: bytes = b""

    @property
    def line_starts(self) -> list[int]:
        """The offset at which each line begins."""
        return _line_starts(self.text)

    def position(self, offset: int) -> tuple[int, int]:
        """Line and column of a character offset, both counted from 1, columns in characters."""
        starts = self.line_starts
        line = bisect_right(starts, offset)
        return line, offset - starts[line - 1] + 1

    def line(self, number: int) -> str:
        """The text of a line (from 1), without its line end."""
        starts = self.line_starts
        end = starts[number] if number < len(starts) else len(self.text)
        return self.text[starts[number - 1] : end].rstrip("\r\n")

    def encode(self, text: str) -> bytes:
        """``text`` as bytes in this file's own encoding and with its byte order mark."""
        return self.bom + text.encode(self.encoding)


@lru_cache(maxsize=8)  # files are looked at one after the other
def _line_starts(text: str) -> list[int]:
    return [0, *(end.end() for end in _LINE_END.finditer(text))]


def decode(name: str, data: bytes, limit: int = MAX_BYTES) -> Source:
    """Decode the bytes of a file.

    UTF-8 with or without byte order mark and UTF-16 with one are read as such; anything else is taken
    for Windows-1252, which the source's ``encoding`` then says.

    Raises UnreadableError for an empty file, one of more than ``limit`` bytes, and binary data.
    """
    if len(data) > limit:
        raise too_large(limit, len(data))
    if not data.strip():
        raise UnreadableError("the file is empty: there is nothing to read")
    for bom, encoding in BOMS:
        if data.startswith(bom):
            return Source(name, _decode_as(data[len(bom) :], encoding), encoding, bom)
    if match := _BINARY.search(data):
        line = data.count(b"\n", 0, match.start()) + 1
        raise UnreadableError(
            f"the file is not text: byte {match.start()} is 0x{match.group()[0]:02X}, which no text file "
            "holds (text saved as UTF-16 needs a byte order mark; UTF-8 is best)",
            line,
        )
    try:
        return Source(name, data.decode("utf-8"))
    except UnicodeDecodeError:
        # Every byte has a meaning in Latin-1; the five that Windows-1252 leaves open fall back to it.
        try:
            return Source(name, data.decode("cp1252"), "cp1252")
        except UnicodeDecodeError:
            return Source(name, data.decode("latin-1"), "latin-1")


def too_large(limit: int, size: int | None = None) -> UnreadableError:
    """The error for a file over a limit: of ``size`` bytes, or None where it was not read to its end."""
    excess = "goes on past" if size is None else f"has {size / 1e6:.1f} MB, over"
    allow = "more with --max-megabytes"
    if size is not None:
        allow = f"it with --max-megabytes {-(-size // 1_000_000)}"
    return UnreadableError(
        f"the file {excess} the limit of {limit / 1e6:.0f} MB: check that it is a tab file at all, and "
        f"split it, or allow {allow}"
    )


def _decode_as(data: bytes, encoding: str) -> str:
    try:
        return data.decode(encoding)
    except UnicodeDecodeError as error:
        raise UnreadableError(
            f"the byte order mark says {encoding.upper()}, but byte {error.start} does not fit it: "
            "save the file as UTF-8"
        ) from None
