"""Whole ways to play a part, worded for people."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import groupby

from tabtools.fingering.neck import Held
from tabtools.fingering.reach import Stretch
from tabtools.record import NamedTuple

_MOST = 12


class Played(NamedTuple):
    """One note of a way: its bar by number, its beat counted from 1, and where it is held."""

    bar: int
    beat: Fraction
    held: Held

    @property
    def words(self) -> str:
        """As in ``beat 2 string 2 fret 5 (1)``, the finger in brackets."""
        finger = f" ({self.held.finger})" if self.held.finger else ""
        whole, part = divmod(self.beat, 1)
        beat = f"{whole} {part}" if part else str(whole)
        return f"beat {beat} string {self.held.string} fret {self.held.fret}{finger}"


class Way(NamedTuple):
    """One way to play a part. ``cost`` is in units of about one small shift of the hand."""

    cost: float
    notes: tuple[Played, ...]
    visited: tuple[int, ...]
    widest: Stretch | None

    @property
    def positions(self) -> str:
        """The positions in order."""
        steps = [str(position) for position, _ in groupby(self.visited)]
        more = f" and {len(steps) - _MOST} more" if len(steps) > _MOST else ""
        return f"position{'s' if len(steps) > 1 else ''} {'-'.join(steps[:_MOST])}{more}"

    @property
    def stretch(self) -> str:
        """The widest stretch, by its share of the limit."""
        if self.widest is None:
            return "no stretch"
        low, high = self.widest.fingers
        return (
            f"widest stretch fingers {low}-{high} over {self.widest.distance:.0f} mm "
            f"({self.widest.percent} % of what they reach)"
        )

    @property
    def line(self) -> str:
        """Its notes, the first few bars' worth."""
        return _by_bar(self.notes)

    def changes(self, other: Way) -> str:
        """The notes that are played elsewhere, or by another finger, than in another way."""
        return _by_bar([a for a, b in zip(self.notes, other.notes, strict=True) if a != b])


def _by_bar(notes: Sequence[Played]) -> str:
    parts = [
        f"bar {bar}: " + ", ".join(note.words for note in group)
        for bar, group in groupby(notes[:_MOST], key=lambda note: note.bar)
    ]
    if len(notes) > _MOST:
        parts.append(f"and {len(notes) - _MOST} more")
    return "; ".join(parts)
