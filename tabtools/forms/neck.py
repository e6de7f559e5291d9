"""An instrument's strings beside those that the forms are named after."""

from __future__ import annotations

from collections import Counter
from functools import lru_cache

from tabtools.forms.table import STRINGS, letter_class
from tabtools.record import NamedTuple
from tabtools.score import Instrument

# A common offset of none is worth this many strings that agree: a bass is a guitar's low strings.
_UNCHANGED = 1.5
_LOWEST = 7


class Stringing(NamedTuple):
    """How an instrument is tuned against the table of forms.

    ``lines`` gives for each string, string 1 first, the string of the table; ``offsets`` the semitones that
    it is tuned above that one, -6 to 5, whatever the octave. ``common`` is the offset that most strings
    share: moving it changes the root of every form and no form.
    """

    lines: tuple[int, ...]
    offsets: tuple[int, ...]
    common: int
    capo: int
    frets: int

    def line(self, string: int) -> int:
        """The string of the table for a string of the instrument."""
        return self.lines[string - 1]

    def retuned(self, string: int) -> int:
        """Semitones by which a string is tuned above what the common offset makes of it."""
        return self.offsets[string - 1] - self.common

    def open_class(self, string: int) -> int:
        """The pitch class of an open string, with the capo on."""
        return (STRINGS[self.line(string) - 1] + self.offsets[string - 1] + self.capo) % 12

    def root(self, form: str, anchor: int) -> int:
        """The pitch class of the root of a form at an anchor fret."""
        return (letter_class(form) + anchor + self.common + self.capo) % 12

    @property
    def lowest(self) -> int:
        """The lowest anchor fret: the open position, or below it where a string is tuned down."""
        return min(0, *(offset - self.common for offset in self.offsets))

    def anchors(self, form: str, root: int) -> list[int]:
        """The anchor frets of a form with this root, from the open position up the neck."""
        first = (root - self.root(form, 0)) % 12
        return [anchor for anchor in range(first - 12, self.frets + 1, 12) if anchor >= self.lowest]


def neck(instrument: Instrument) -> Stringing:
    """The neck of an instrument. Raises ValueError where it has no strings."""
    classes = tuple(pitch.midi % 12 for pitch in instrument.tuning)
    if not classes:
        raise ValueError("an instrument without strings has no forms")
    return _neck(classes, instrument.capo, instrument.frets)


@lru_cache(maxsize=64)
def _neck(classes: tuple[int, ...], capo: int, frets: int) -> Stringing:
    """The place among the table's strings where most strings agree in their offset."""
    classes = classes[: len(STRINGS)]
    # A bass lies on the low strings; with five or six it has one below those of a guitar.
    places = min(max(_LOWEST - len(classes), 1), len(STRINGS) - len(classes)) + 1
    ways = [(first, _offsets(classes, first)) for first in range(places)]
    first, offsets = max(ways, key=lambda way: (_agreement(*way), -way[0]))
    lines = tuple(range(first + 1, first + 1 + len(classes)))
    return Stringing(lines, offsets, common_offset(offsets), capo, frets)


def _offsets(classes: tuple[int, ...], first: int) -> tuple[int, ...]:
    return tuple((c - STRINGS[first + i] + 6) % 12 - 6 for i, c in enumerate(classes))


def _agreement(first: int, offsets: tuple[int, ...]) -> float:
    common = common_offset(offsets)
    agreeing = offsets.count(common)
    if not first and agreeing == len(offsets):
        return float("inf")
    return agreeing + (0 if common else _UNCHANGED)


def common_offset(offsets: tuple[int, ...], among: tuple[int, ...] = ()) -> int:
    """The offset that most strings share; ties go to most of ``among``, then to the one nearest to 0."""
    counts, wider = Counter(offsets), Counter(among)
    return min(counts, key=lambda offset: (-counts[offset], -wider[offset], abs(offset), offset))
