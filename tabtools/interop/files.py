"""Files in formats that music21 reads."""

from __future__ import annotations

from pathlib import PurePath

from tabtools.interop import from_music21
from tabtools.interop.formats import BOM
from tabtools.score import Score
from tabtools.source import UnreadableError


def format_by_suffix(name: str) -> str | None:
    """The format, as music21 calls it, of a file name's suffix; None where music21 does not know it."""
    from music21 import common

    suffix = PurePath(name).suffix.lower().lstrip(".")
    format_name: str | None = common.findFormat(suffix)[0] if suffix else None
    return format_name


def read_foreign(data: bytes, kind: str) -> Score:
    """The score of a file in a format that music21 reads.

    Raises UnreadableError, with what music21 says, for a file that it cannot read.
    """
    from music21 import converter

    content = data.removeprefix(BOM).decode("utf-8", "replace")
    try:
        stream = converter.parseData(content, format=kind)
    except Exception as error:
        raise UnreadableError(f"music21 cannot read this as {kind}: {error}") from error
    return from_music21(stream)
