"""A passage as pictures: for each system, notation and tab with all that stands over them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tabtools.drawing.frets import STEP, fret_y
from tabtools.drawing.heading import Labels, bar_number, heading_rows, label
from tabtools.drawing.joins import Join, joins
from tabtools.drawing.places import SystemPlaces
from tabtools.drawing.shapes import Picture, Shape, line
from tabtools.drawing.stack import Stack
from tabtools.drawing.tab import on_staff, tab_staff
from tabtools.record import NamedTuple
from tabtools.score import Part
from tabtools.sheet.notation import Engraved, Engraving, engrave, moved

STAVES = ("both", "notation", "tab")
_BETWEEN = 12.0  # from the notation to the tab, in pixels
_MARGIN = 2.0


class Drawn(NamedTuple):
    """The systems of a passage, and the outlines of the glyphs in them."""

    pictures: tuple[Picture, ...]
    glyphs: Mapping[str, str]


def draw_passage(part: Part, first: int, end: int, width: float, staves: str, forms: Labels) -> Drawn:
    """The bars ``first`` up to ``end`` of a part in systems that are ``width`` pixels wide.

    ``staves`` is one of STAVES; ``forms`` are the names of forms over places, by the index of their bar.
    Raises UnreadableError for music that the engraver can't take.
    """
    bars = part.bars[first:end]
    engraving: Engraving = engrave(part._replace(bars=bars), width, first)
    part_joins = joins(bars, first)
    last = len(engraving.systems) - 1
    pictures = tuple(
        _picture(system, part, part_joins, staves, forms, first=first, closes=place == last)
        for place, system in enumerate(engraving.systems)
    )
    return Drawn(pictures, engraving.glyphs if staves != "tab" else {})


def _picture(
    system: Engraved,
    part: Part,
    part_joins: Sequence[Join],
    staves: str,
    forms: Labels,
    *,
    first: int,
    closes: bool,
) -> Picture:
    places = system.places
    strings = len((places.bars[0].bar.instrument or part.instrument).tuning)
    shapes: list[Shape] = list(system.shapes) if staves != "tab" else []
    bottom = system.bottom
    placed = on_staff(places.columns, strings) or not places.columns
    if strings and staves != "notation" and (placed or staves == "tab"):
        tab = tab_staff(places, strings, part_joins, stems=staves == "tab", closes=closes)
        down = 0.0
        if shapes:
            below = max([system.bottom, *(shape.box.bottom for shape in shapes)])
            down = below + _BETWEEN - min(shape.box.top for shape in tab)
        shapes += moved(tab, down)
        bottom = down + fret_y(strings)
    shapes.append(line(places.left, 0, places.left, bottom, kind="line"))
    shapes += _above(shapes, places, forms, first)
    top = min(shape.box.top for shape in shapes) - _MARGIN
    height = max(shape.box.bottom for shape in shapes) - top + _MARGIN
    width = max(places.right + 1, *(shape.box.right for shape in shapes))
    return Picture(tuple(moved(shapes, -top)), width, height)


def _above(shapes: Sequence[Shape], places: SystemPlaces, forms: Labels, first: int) -> list[Shape]:
    stack = Stack([shape.box for shape in shapes], -STEP / 2)
    number = bar_number(places, first)
    if number:
        stack.row(list(label(places.left, number, "number", places)), gap=1.5)
    for row in heading_rows(places, forms):
        stack.row(row, gap=4, apart=8)
    return stack.shapes
