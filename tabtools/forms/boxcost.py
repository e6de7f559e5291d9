"""What it costs to read notes as a run inside a pentatonic box."""

from __future__ import annotations

from functools import lru_cache

from tabtools.forms.boxes import BLUE, BOXES, MINOR_PENTATONIC, RELATIVE, boxes
from tabtools.forms.evidence import Tone
from tabtools.forms.table import STRINGS
from tabtools.record import NamedTuple
from tabtools.score import Key
from tabtools.theory.line_of_fifths import pitch_class, place

# Whole numbers of 1/200, as in `tabtools.forms.cost`.
BOX = 240
BOX_NOTE = 30
BLUE_NOTE = 70
IN_POSITION = 240
NEXT_STRING = 30
STRING_SKIP = 80
TOGETHER = 80
FOREIGN_KEY = 400
NOTES_WANTED = 4  # different ones; a box with fewer is no box
_TOO_FEW = 400  # for each that lacks

_BIT = {semitones: 1 << i for i, semitones in enumerate(MINOR_PENTATONIC)}
MOVED = 32  # a bit beside those of the degrees: the same scale went before in another box
MISSING = tuple(_TOO_FEW * max(0, NOTES_WANTED - sounded.bit_count()) for sounded in range(2 * MOVED))
EMPTY = BOX + MISSING[0]


class BoxLabel(NamedTuple):
    """A box on the neck: its number, and the fret of its minor tonic on string 6 of the form table."""

    box: int
    tonic: int

    @property
    def position(self) -> tuple[int, int]:
        """Its lowest and highest fret."""
        low, high = boxes()[self.box - 1].position
        return self.tonic + low, self.tonic + high

    def degree(self, tone: Tone) -> int:
        """Semitones of a note above the minor tonic, 0 to 11."""
        return _degree(self.tonic, tone.string, tone.fret + tone.retuned + tone.raised)


Row = dict[BoxLabel, int]


def _degree(tonic: int, string: int, fret: int) -> int:
    return (STRINGS[string - 1] + fret - STRINGS[5] - tonic) % 12


@lru_cache(maxsize=4096)
def _tone_row(string: int, shape: int, raised: int) -> Row:
    """The cost of a note in every box whose position holds it, as cost << 5 | bit of its degree."""
    row: Row = {}
    for box in BOXES:
        low, high = boxes()[box - 1].position
        for tonic in range(max(shape - high, -low), shape - low + 1):
            place_ = BoxLabel(box, tonic)
            degree = _degree(tonic, string, shape + raised)
            bit = _BIT.get(degree, 0)
            cost = BOX_NOTE if bit else BLUE_NOTE if degree == BLUE else IN_POSITION
            row[place_] = cost << 5 | bit
    return row


def stroke_row(tones: tuple[Tone, ...]) -> Row:
    """The cost of notes that begin together in every box that holds them all."""
    first, *others = [_tone_row(tone.string, tone.fret + tone.retuned, tone.raised) for tone in tones]
    if not others:
        return first
    row = {}
    for place_, value in first.items():
        values = [value, *(other[place_] for other in others if place_ in other)]
        if len(values) == len(tones):
            bits = 0
            for one in values:
                bits |= one & 31
            row[place_] = sum(one >> 5 for one in values) + TOGETHER * len(others) << 5 | bits
    return row


def crossing(before: tuple[Tone, ...], after: tuple[Tone, ...]) -> int:
    """The cost of the way from one string to the next: a box run takes its notes string by string."""
    apart = min(abs(a.string - b.string) for a in before for b in after)
    return (0, NEXT_STRING)[apart] if apart < 2 else STRING_SKIP


@lru_cache(maxsize=64)
def foreign(key: Key | None, shift: int) -> tuple[int, ...]:
    """What a box costs that has neither tonic in common with a key, by its tonic's fret modulo 12.

    ``shift`` is by how many semitones the part sounds above the form table's tuning.
    """
    if key is None:
        return (0,) * 12
    tonic = (pitch_class(place(key.step, key.alter)) - shift - STRINGS[5]) % 12
    return tuple(0 if fret in (tonic, (tonic - RELATIVE) % 12) else FOREIGN_KEY for fret in range(12))
