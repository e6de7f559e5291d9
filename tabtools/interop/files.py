"""Files in formats that music21 reads, and MIDI through it."""

from __future__ import annotations

from pathlib import PurePath

from tabtools.interop import from_music21, to_music21
from tabtools.interop.formats import BOM
from tabtools.score import Score
from tabtools.source import UnreadableError


def format_by_suffix(name: str) -> str | None:
    """The format, as music21 calls it, of a file name's suffix; None where music21 does not know it."""
    from music21 import common

    suffix = PurePath(name).suffix.lower().lstrip(".")
    found: str | None = common.findFormat(suffix)[0] if suffix else None
    return found


def read_foreign(data: bytes, kind: str) -> Score:
    """The score of a file in a format that music21 reads.

    Raises UnreadableError, with what music21 says, for a file that it cannot read.
    """
    from music21 import converter

    content: bytes | str = data
    if kind not in ("midi",):
        content = data.removeprefix(BOM).decode("utf-8", "replace")
    try:
        stream = converter.parseData(content, format=kind)
    except Exception as error:
        raise UnreadableError(f"music21 cannot read this as {kind}: {error}") from error
    return from_music21(stream)


def write_midi(score: Score) -> bytes:
    """The score as a standard MIDI file, repeats played; the same score gives the same bytes.

    Chord symbols are left out: music21 would play them along with the notes.
    """
    from music21.midi.translate import streamToMidiFile

    stream = to_music21(_without_chord_symbols(score))
    data: bytes = streamToMidiFile(stream.expandRepeats() if _repeats(score) else stream).writestr()
    return data


def _without_chord_symbols(score: Score) -> Score:
    parts = (
        part._replace(bars=tuple(bar._replace(harmonies=()) for bar in part.bars)) for part in score.parts
    )
    return score._replace(parts=tuple(parts))


def _repeats(score: Score) -> bool:
    return any(bar.repeat_times or bar.endings for part in score.parts for bar in part.bars)
