"""A tab staff: strings, bar lines, frets, and how they are played. Its first string lies at y = 0."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from tabtools.drawing.bends import bend_shapes
from tabtools.drawing.frets import STEP, fret_font, fret_shape, fret_width, fret_words, fret_y
from tabtools.drawing.joins import Join, ends, join_shape, loose_slides
from tabtools.drawing.marks import finger_items, mark_rows
from tabtools.drawing.places import BarPlace, Column, SystemPlaces
from tabtools.drawing.shapes import Box, Shape, disc, line, number, stroke, text
from tabtools.drawing.stack import Stack
from tabtools.drawing.stems import stem_shapes
from tabtools.record import NamedTuple
from tabtools.score import Note

_CLEF_X = 9.0


def tab_staff(
    places: SystemPlaces,
    strings: int,
    part_joins: Sequence[Join],
    *,
    stems: bool = False,
    end: str = "plain",
) -> list[Shape]:
    """The tab staff of a system, with what stands over and under it.

    ``part_joins`` are those of the whole part; ``stems`` adds the rhythm below; ``end`` is the
    last bar line: ``plain``, ``double`` or ``final``.
    """
    notes = list(_numbers(places.columns))
    numbers = [note.shape for note in notes]
    shapes = [*_strings(places, strings, numbers), *_clef(places, strings)]
    shapes += _bar_lines(places, strings, end)
    shapes += numbers
    shapes += _between(places, part_joins, notes)
    stack = Stack([shape.box for shape in shapes if shape.kind != "staff"], -STEP / 2)
    for row in mark_rows(places, part_joins):
        stack.row(row, gap=2.5, apart=2)
    below = Stack([shape.box for shape in shapes], fret_y(strings) + STEP / 2, down=True)
    for row in finger_items(places.columns):
        below.row(row, gap=1.5, apart=1)
    shapes += stack.shapes + below.shapes
    if stems:
        shapes += _metres(places, strings)
        shapes += stem_shapes(places, max(below.end, fret_y(strings) + 6))
    return shapes


def on_staff(columns: Sequence[Column], strings: int) -> bool:
    """Whether any note of these columns can stand on a tab staff."""
    return any(
        note.string is not None and note.string <= strings for c in columns for note in c.written.notes
    )


class Number(NamedTuple):
    """A note that has its number on the staff, with the middle of it at ``x``."""

    column: Column
    row: int
    note: Note
    x: float

    @property
    def shape(self) -> Shape:
        return fret_shape(self.note, self.x, self.column.key(self.row), fret_font(self.column.written))


def _numbers(columns: Sequence[Column]) -> Iterator[Number]:
    """The numbers of all notes. Those of several voices that meet on a string stand side by side, and a
    number that both have stands there once."""
    filled: dict[int, tuple[float, str]] = {}
    for column in columns:
        for row, note in enumerate(column.written.notes):
            if note.string is None:
                continue
            words, half = fret_words(note), fret_width(note, fret_font(column.written)) / 2
            end, before = filled.get(note.string, (0.0, ""))
            if column.x - half < end and words == before:
                continue
            x = max(column.x, end + half)
            filled[note.string] = (x + half, words)
            yield Number(column, row, note, x)


def _strings(places: SystemPlaces, strings: int, numbers: Sequence[Shape]) -> Iterator[Shape]:
    """The lines, which stop on both sides of a number."""
    path = []
    for string in range(1, strings + 1):
        y = fret_y(string)
        gaps = sorted((shape.box.left - 1, shape.box.right + 1) for shape in numbers if _on(shape, y))
        start = places.left
        for left, right in [*gaps, (places.right, places.right)]:
            if left > start:
                path.append(f"M{number(start)} {number(y)}H{number(left)}")
            start = max(start, right)
    box = Box(places.left, 0, places.right, fret_y(strings))
    yield stroke("".join(path), box, style="staff", kind="staff")


def _on(shape: Shape, y: float) -> bool:
    return shape.box.top < y < shape.box.bottom


def _clef(places: SystemPlaces, strings: int) -> Iterator[Shape]:
    """The letters TAB below each other."""
    if strings < 3:
        return
    middle, step = fret_y(strings) / 2, min(11.0, fret_y(strings) / 3)
    for letter, place in zip("TAB", (-1, 0, 1), strict=True):
        yield text(places.left + _CLEF_X, middle + place * step + 3.8, letter, "clef", "middle")


def _metres(places: SystemPlaces, strings: int) -> Iterator[Shape]:
    """The metres, for a tab staff that stands alone."""
    middle = fret_y(strings) / 2
    for place in places.bars:
        if place.metre is not None:
            yield text(place.metre, middle - 2, str(place.bar.time.beats), "metre", "middle")
            yield text(place.metre, middle + 12.5, str(place.bar.time.unit), "metre", "middle")


def _bar_lines(places: SystemPlaces, strings: int, end: str) -> Iterator[Shape]:
    bottom = fret_y(strings)
    yield _upright(places.left, bottom)
    for place in places.bars:
        if place.bar.repeat_start:
            yield from _repeat(place.opening, bottom, opens=True)
        last = place is places.bars[-1]
        if place.bar.repeat_times:
            yield from _repeat(place.right, bottom, opens=False)
        elif end == "final" and last:
            yield _upright(place.right - 5, bottom)
            yield _upright(place.right - 1.6, bottom, "thick")
        elif end == "double" and last:
            yield _upright(place.right - 4, bottom)
            yield _upright(place.right, bottom)
        elif last or not _opens_next(places.bars, place):
            yield _upright(place.right, bottom)


def _opens_next(bars: Sequence[BarPlace], place: BarPlace) -> bool:
    following = bars[bars.index(place) + 1]
    return following.bar.repeat_start


def _upright(x: float, bottom: float, style: str = "thin") -> Shape:
    return line(x, 0, x, bottom, style=style, kind="line")


def _repeat(x: float, bottom: float, *, opens: bool) -> Iterator[Shape]:
    """A repeat sign that begins, or ends, at x."""
    sign = 1 if opens else -1
    yield _upright(x + sign * 1.6, bottom, "thick")
    yield _upright(x + sign * 5, bottom)
    for y in (bottom / 2 - STEP, bottom / 2 + STEP):
        yield disc(x + sign * 8.6, max(y, STEP / 2), 1.5)


def _between(places: SystemPlaces, part_joins: Sequence[Join], notes: Sequence[Number]) -> Iterator[Shape]:
    """Joins, slides and bends."""
    columns = {(column.bar, column.event): column for column in places.columns}
    for join in part_joins:
        reach = ends(join, columns)
        if reach is not None:
            yield join_shape(join, reach)
    for _, together in groupby(notes, lambda placed: placed.column.x):
        struck = [(placed.note, placed.x) for placed in together]
        for note, x in struck:
            yield from loose_slides(note, x)
        yield from bend_shapes(struck)
