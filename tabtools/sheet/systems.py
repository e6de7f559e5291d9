"""A passage as pictures: for each system, notation and tab with all that stands over them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tabtools.drawing.frets import STEP, fret_y
from tabtools.drawing.heading import Labels, bar_number, heading_rows, label
from tabtools.drawing.joins import Join, joins
from tabtools.drawing.places import SystemPlaces
from tabtools.drawing.shapes import Box, Picture, Shape, line, moved, number
from tabtools.drawing.stack import Item, Stack
from tabtools.drawing.tab import on_staff, tab_staff
from tabtools.record import NamedTuple
from tabtools.score import Part
from tabtools.sheet.engraving import Sung
from tabtools.sheet.notation import Engraved, Engraving, engrave

STAVES = ("both", "notation", "tab")
_BETWEEN = 12.0  # from the notation to the tab, in pixels
_MARGIN = 2.0


class Drawn(NamedTuple):
    """The systems of a passage, and the outlines of the glyphs in them."""

    pictures: tuple[Picture, ...]
    glyphs: Mapping[str, str]


class Added(NamedTuple):
    """What is printed with the bars of a part, by their places counted from 0: names of forms, words sung."""

    forms: Labels
    lyrics: Sung


NOTHING = Added({}, {})


def draw_passage(
    part: Part, first: int, end: int, width: float, staves: str = "both", added: Added = NOTHING
) -> Drawn:
    """The bars ``first`` up to ``end`` of a part in systems that are ``width`` pixels wide.

    ``staves`` is one of STAVES.
    Raises UnreadableError for music that the engraver can't take.
    """
    bars = part.bars[first:end]
    engraving: Engraving = engrave(part, width, first, end, added.lyrics)
    part_joins = joins(bars, first)
    last = len(engraving.systems) - 1
    pictures = tuple(
        _picture(
            system, part, part_joins, staves, added, first=first, end=end if place == last else 0, room=width
        )
        for place, system in enumerate(engraving.systems)
    )
    return Drawn(pictures, engraving.glyphs if staves != "tab" else {})


def _picture(
    system: Engraved,
    part: Part,
    part_joins: Sequence[Join],
    staves: str,
    added: Added,
    *,
    first: int,
    end: int,
    room: float,
) -> Picture:
    places = system.places
    strings = len((places.bars[0].bar.instrument or part.instrument).tuning)
    shapes: list[Shape] = list(system.shapes) if staves != "tab" else []
    bottom = system.bottom
    placed = on_staff(places.columns, strings) or not places.columns
    if strings and staves != "notation" and (placed or staves == "tab"):
        tab = tab_staff(places, strings, part_joins, stems=staves == "tab", end=_end(part, end))
        down = 0.0
        if shapes:
            below = max([system.bottom, *(shape.box.bottom for shape in shapes)])
            down = below + _BETWEEN - min(shape.box.top for shape in tab)
        shapes += moved(tab, down)
        bottom = down + fret_y(strings)
    shapes.append(line(places.left, 0, places.left, bottom, kind="line"))
    shapes += _sung(shapes, places, added)
    shapes += _above(shapes, places, added.forms, first)
    top = min(shape.box.top for shape in shapes) - _MARGIN
    height = max(shape.box.bottom for shape in shapes) - top + _MARGIN
    width = max(places.right + 1, *(shape.box.right for shape in shapes))
    return Picture((*moved(shapes, -top), *_bars(places, height)), max(width, room), height)


def _sung(shapes: Sequence[Shape], places: SystemPlaces, added: Added) -> list[Shape]:
    """The words under the music, a row for each verse."""
    stack = Stack([shape.box for shape in shapes], 0, down=True)
    verses: dict[int, list[Item]] = {}
    for place in places.bars:
        for verse, onset, words in added.lyrics.get(place.at, ()):
            verses.setdefault(verse, []).extend(label(places.x_at(place, onset) - 4, words, "lyric", places))
    for verse in sorted(verses):
        stack.row(verses[verse], gap=4, apart=4)
    return stack.shapes


def _end(part: Part, end: int) -> str:
    """The bar line at the end of a system, of which ``end`` is the end of a passage, or 0."""
    return "plain" if not end else "final" if end == len(part.bars) else "double"


def _bars(places: SystemPlaces, height: float) -> list[Shape]:
    """The room of each bar, to be pressed on and lit."""
    shapes = []
    for place in places.bars:
        left = max(place.left, places.left)
        size = f'width="{number(place.right - left)}" height="{number(height)}"'
        rect = f'<rect class="bar" data-b="{place.at}" x="{number(left)}" y="0" {size}/>'
        shapes.append(Shape(rect, Box(left, 0, place.right, height), "bar"))
    return shapes


def _above(shapes: Sequence[Shape], places: SystemPlaces, forms: Labels, first: int) -> list[Shape]:
    stack = Stack([shape.box for shape in shapes], -STEP / 2)
    printed = bar_number(places, first)
    if printed:
        stack.row(list(label(places.left, printed, "number", places)), gap=1.5)
    names, *rows, openings = heading_rows(places, forms)
    stack.row(names, gap=4, apart=8, one_line=True)
    for row in rows:
        stack.row(row, gap=4, apart=6)
    stack.row(openings, gap=5, apart=8, clear=True)
    return stack.shapes
