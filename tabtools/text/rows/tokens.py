"""What a string row is made of: notes and bar lines with their columns, and what stays open."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from tabtools.doubts import BetweenFrets, BracketedNote, SlideInOrFrom, SlideOutOrTo
from tabtools.record import NamedTuple
from tabtools.score import Technique

# What may be meant otherwise than it was read.
ReadAs = type[BracketedNote] | type[BetweenFrets] | type[SlideInOrFrom] | type[SlideOutOrTo]


class RowNote:
    """One note while it is being read. ``row`` is the index of its row in the system, ``column`` that of its
    first digit, ``start`` and ``end`` those of its brackets; ``stop`` is where the marks behind it end,
    ``lead`` where a mark before it begins that touches no other note. ``fret`` is None for a dead note."""

    __slots__ = ("column", "end", "finger", "fret", "lead", "row", "start", "stop", "techniques", "tied")

    def __init__(self, row: int, fret: int | None, start: int, end: int) -> None:
        self.row = row
        self.fret = fret
        self.column = self.start = start
        self.end = self.stop = end
        self.techniques: list[Technique] = []
        self.tied = False
        self.finger: str | None = None
        self.lead: int | None = None


class BarLine(NamedTuple):
    """A bar line: its columns, and whether a repeat begins or ends at it."""

    start: int
    end: int
    opens: bool
    closes: bool


class RowTokens:
    """What a row holds, in order of columns; ``marks`` are the columns of signs for
    techniques, ``unknown`` the stretches that nothing explains,
    ``long_numbers`` the digits that cannot be one fret, ``far`` counts frets over any neck that were left
    whole; ``open`` is what may be meant otherwise: the kind of doubt, its columns, and the reading chosen."""

    __slots__ = ("bars", "far", "long_numbers", "marks", "notes", "open", "unknown")

    def __init__(self, bars: Iterable[BarLine] = ()) -> None:
        self.notes: list[RowNote] = []
        self.bars = list(bars)
        self.marks: list[tuple[int, int]] = []
        self.unknown: list[tuple[int, int]] = []
        self.long_numbers: list[tuple[int, int]] = []
        self.far = 0
        self.open: list[tuple[ReadAs, int, int, str]] = []


@lru_cache(maxsize=64)
def plain(name: str, mark: str = "") -> Technique:
    """A technique without a size; one object for all notes. A slide by ``\\`` falls."""
    return Technique(name, falling=mark == "\\" and name in ("slide-in", "slide-out"))
