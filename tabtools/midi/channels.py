"""Which part, and which of its strings, plays on which MIDI channel with which sound."""

from __future__ import annotations

from itertools import pairwise

from tabtools.midi.bending import curve
from tabtools.midi.performance import Tone
from tabtools.record import NamedTuple
from tabtools.score import Instrument

# Channel 10 (9 counted from 0) is for percussion. General MIDI 1 system level.
_CHANNELS = tuple(channel for channel in range(16) if channel != 9)
# Programs of General MIDI 1, counted from 0, by what an instrument's name holds; first hit counts.
_PROGRAMS = (
    ("bass", 33),  # electric bass (finger)
    ("banjo", 105),
    ("mandolin", 25),  # acoustic guitar (steel)
    ("ukulele", 24),  # acoustic guitar (nylon)
    ("classical", 24),
    ("nylon", 24),
    ("acoustic", 25),
)
_GUITAR = 27  # electric guitar (clean)


class Seat(NamedTuple):
    """Where a part plays: a channel for each string, or one for all; and whether its pitch can bend there.

    ``channels`` has string 0 for notes without a string.
    """

    channels: tuple[int, ...]
    program: int
    bends: bool

    def channel(self, tone: Tone) -> int:
        """The channel of a note."""
        string = tone.note.string or 0
        return self.channels[string if string < len(self.channels) else 0]


def program(instrument: Instrument) -> int:
    """The General MIDI program for an instrument, counted from 0."""
    name = instrument.name.lower()
    return next((number for word, number in _PROGRAMS if word in name), _GUITAR)


def seats(parts: list[tuple[Instrument, tuple[Tone, ...]]]) -> list[Seat]:
    """A seat for every part. A part that bends gets a channel for each string while there are enough.

    More than fifteen parts share channels from the first one on.
    """
    free = len(_CHANNELS) - len(parts)
    result: list[Seat] = []
    used = 0
    for instrument, tones in parts:
        bends = any(curve(tone) for tone in tones)
        more = len(instrument.tuning) if bends else 0
        if 0 < more <= free:
            numbers = range(used, used + more + 1)
            free -= more
        else:
            numbers = range(used, used + 1)
        used += len(numbers)
        channels = tuple(_CHANNELS[number % len(_CHANNELS)] for number in numbers)
        result.append(
            Seat(channels, program(instrument), bends and (len(channels) > 1 or _is_one_line(tones)))
        )
    return result


def _is_one_line(tones: tuple[Tone, ...]) -> bool:
    """Whether no two notes sound at once, so that one pitch wheel serves them all."""
    return all(before.end <= after.start for before, after in pairwise(tones))
