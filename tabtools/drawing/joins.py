"""What joins two notes of a string: arcs for hammer-ons, pull-offs and ties, strokes for slides."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from tabtools.drawing.frets import fret_width, fret_y
from tabtools.drawing.places import Column
from tabtools.drawing.shapes import Box, Shape, line, number, stroke
from tabtools.record import NamedTuple
from tabtools.score import Bar, Note

LETTERS = {"hammer": "H", "pull": "P"}
_KINDS = ("hammer", "pull", "slide", "tie")
_STUB = 13.0  # how far a join reaches beyond the end of a system
_RISE = 3.2  # of a slide, to both sides of its string

NotePlace = tuple[int, int, int]


class Join(NamedTuple):
    """A note and the one before it on its string, from which it is reached: bar, event and note from 0."""

    kind: str
    start: NotePlace
    end: NotePlace
    before: Note
    after: Note


def joins(bars: tuple[Bar, ...], first: int = 0) -> tuple[Join, ...]:
    """The joins of bars in order of time; ``first`` is the index of the first one in its part."""
    result: list[Join] = []
    last: dict[int, tuple[NotePlace, Note]] = {}
    for index, bar in enumerate(bars, first):
        for event in in_time(bar):
            struck = [
                (note.string, (index, event, row), note)
                for row, note in enumerate(bar.events[event].notes)
                if note.string is not None
            ]
            result += (
                Join(kind, *last[string][:1], place, last[string][1], note)
                for string, place, note in struck
                for kind in _kinds(note)
                if string in last
            )
            last.update((string, (place, note)) for string, place, note in struck)
    return tuple(result)


def in_time(bar: Bar) -> list[int]:
    """The places of a bar's events in order of time, grace notes before what they lead to."""
    return sorted(range(len(bar.events)), key=lambda e: (bar.events[e].onset, not bar.events[e].grace))


def _kinds(note: Note) -> Iterator[str]:
    for kind in _KINDS:
        if note.has(kind) or (kind == "tie" and note.tied):
            yield kind


class Ends(NamedTuple):
    """Where a join is drawn: from the edge of one number to that of the next."""

    left: float
    right: float
    y: float


def ends(join: Join, columns: Mapping[tuple[int, int], Column]) -> Ends | None:
    """Where a join stands in a system that has these columns; None where neither of its notes is there,
    or where two voices are on one string at once."""
    start, end = columns.get(join.start[:2]), columns.get(join.end[:2])
    if join.after.string is None or (start is None and end is None):
        return None
    left = start.x + fret_width(join.before) / 2 if start else None
    right = end.x - fret_width(join.after) / 2 if end else None
    if left is None:
        assert right is not None
        left = right - _STUB
    if right is None:
        right = left + _STUB
    return Ends(left, right, fret_y(join.after.string)) if left < right else None


def join_shape(join: Join, at: Ends) -> Shape:
    """A join as it is drawn."""
    if join.kind != "slide":
        return _arc(at)
    up = (join.after.fret or 0) >= (join.before.fret or 0)
    rise = _RISE if up else -_RISE
    return line(at.left, at.y + rise, at.right, at.y - rise)


def _arc(at: Ends) -> Shape:
    """A slur over the string, from number to number."""
    left, right = at.left - 2.5, at.right + 2.5
    foot, top = at.y - 4.6, at.y - 10
    over = f"{number((left + right) / 2)} {number(top)}"
    path = f"M{number(left)} {number(foot)}Q{over} {number(right)} {number(foot)}"
    return stroke(path, Box(left, at.y - 7.8, right, foot), kind="line")


def loose_slides(note: Note, x: float) -> Iterator[Shape]:
    """Slides from and to nowhere, beside their number."""
    assert note.string is not None
    y, half = fret_y(note.string), fret_width(note) / 2
    for technique in note.techniques:
        if technique.name == "slide-in":
            rise = -_RISE if technique.falling else _RISE
            yield line(x - half - 7, y + rise, x - half, y - rise)
        if technique.name == "slide-out":
            rise = -_RISE if technique.falling else _RISE
            yield line(x + half, y + rise, x + half + 7, y - rise)
