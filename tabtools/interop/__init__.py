"""To and from music21, and through it the formats that it reads: loaded only when asked for."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tabtools.score import Score

if TYPE_CHECKING:
    from music21.stream import Stream


def to_music21(score: Score) -> Stream[Any]:
    """The score as a music21 ``Score``: sounding pitches, and string and fret on every note that has them."""
    from tabtools.interop.streams import to_stream

    return to_stream(score)


def from_music21(stream: Stream[Any]) -> Score:
    """The score of a music21 stream or opus; an opus gives a part for each part of each of its scores.

    Raises UnreadableError for a stream that cannot be written as MusicXML, which it passes through.
    """
    from tabtools.interop.streams import from_stream

    return from_stream(stream)
