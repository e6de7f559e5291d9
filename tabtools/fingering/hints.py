"""What a page says about where the hand is: evidence, which costs something to go against, and no law."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping

from tabtools.record import NamedTuple
from tabtools.score import Quarters
from tabtools.timeline import NoteIndex


class PositionHint(NamedTuple):
    """A position, as the fret of the first finger, from ``start`` up to ``end`` in quarter notes from the
    start of the part."""

    start: Quarters
    end: Quarters
    fret: int


class Pressing(NamedTuple):
    """The finger of a note in a form, and the position of the hand that holds it."""

    finger: int
    position: int


class Hints(NamedTuple):
    """``positions`` in order of time without overlap, and ``held``: notes of forms."""

    positions: tuple[PositionHint, ...] = ()
    held: Mapping[NoteIndex, Pressing] = {}

    def position(self, at: Quarters, note: NoteIndex) -> int | None:
        """The position at a note: that of a mark in force, else that of its form; None where neither is."""
        number = bisect_right(self.positions, at, key=_start) - 1
        if number >= 0 and at < self.positions[number].end:
            return self.positions[number].fret
        return self.held[note].position if note in self.held else None

    def finger(self, note: NoteIndex) -> int | None:
        """The finger of a note in its form."""
        return self.held[note].finger if note in self.held else None


def _start(hint: PositionHint) -> Quarters:
    return hint.start


NO_HINTS = Hints()
