"""Where an engraver has put the music of one system: what the tab staff is drawn on."""

from __future__ import annotations

from tabtools.record import NamedTuple
from tabtools.score import Bar, Event, Quarters


class BarPlace(NamedTuple):
    """A bar from bar line to bar line: ``at`` is its place in the part, counted from 0. A repeat that begins
    with it is drawn from ``opening``. ``metre`` is where its metre is printed, None where it is not."""

    at: int
    bar: Bar
    left: float
    right: float
    opening: float
    metre: float | None = None


class Column(NamedTuple):
    """An event at the middle ``x`` of its notes; ``end`` is where the next column's room begins."""

    bar: int
    event: int
    x: float
    end: float
    written: Event

    def key(self, note: int) -> str:
        """The name of a note, by bar, event and note from 0: the same in all pictures and in sound."""
        return f"{self.bar}.{self.event}.{note}"


class SystemPlaces(NamedTuple):
    """One system from ``left`` to ``right``; ``music`` is where clef, key and metre end. Columns stand in
    order of time."""

    left: float
    right: float
    music: float
    bars: tuple[BarPlace, ...]
    columns: tuple[Column, ...]

    def x_at(self, place: BarPlace, onset: Quarters) -> float:
        """Where a time in a bar lies: at the note that begins then, or between its neighbours."""
        inside = [column for column in self.columns if column.bar == place.at]
        before = [column for column in inside if column.written.onset <= onset]
        after = [column for column in inside if column.written.onset > onset]
        left = max(place.left, self.music) + 6
        if not before:
            return min(left, after[0].x) if after else left
        nearest = before[-1]
        begins, x = nearest.written.onset, nearest.x
        if begins == onset:
            return x
        ends = after[0].written.onset if after else max(place.bar.lasts, onset)
        right = after[0].x if after else place.right
        share = (onset - begins) / (ends - begins) if ends > begins else 0
        return x + (right - x) * float(share)
