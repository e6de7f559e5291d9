"""A part engraved by verovio: the systems' notation as SVG, and where its bars and notes are."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator
from functools import cache
from typing import Any
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

from tabtools.drawing.places import BarPlace, Column, SystemPlaces
from tabtools.drawing.shapes import Box, Shape, around, attribute
from tabtools.record import NamedTuple
from tabtools.score import Part
from tabtools.sheet.engraving import GRACE_ROOM, NOT_SUNG, Cut, Sung, engraver_input
from tabtools.source import UnreadableError

SPACE = 7.0  # between two lines of the staff in pixels
_SCALE = SPACE / 180  # verovio draws a staff space as 180
_PAGE_UNIT = 10  # and counts pages in tenths
_TALLEST = 60000
_SVG = "{http://www.w3.org/2000/svg}"
# What we draw ourselves or never show.
_LEFT_OUT = frozenset({"mNum", "verse", "label", "labelAbbr", "placeholder", "bounding-box", "grpSym"})
_FRAMES = frozenset({"system", "measure", "staff", "layer", "section", "page-margin"})
_BEFORE_MUSIC = frozenset({"clef", "keySig", "meterSig"})
_DRAWN = frozenset({"path", "polygon", "polyline", "rect", "ellipse", "circle", "use", "text", "tspan"})
_SHAPED = ("d", "points", "x", "y", "x1", "y1", "x2", "y2", "width", "height", "cx", "cy", "rx", "ry", "r")
_PENNED = ("stroke-width", "stroke-dasharray", "stroke-linejoin", "fill", "font-size", "text-anchor")
_MOVE = re.compile(r"translate\((-?\d+), (-?\d+)\)(?: scale\(([\d.]+), ([\d.]+)\))?")
_GLYPH = re.compile(r"#?([0-9A-Z]+)-")


class Engraved(NamedTuple):
    """A system's notation, its top staff line at y = 0 and its bottom line at ``bottom``."""

    places: SystemPlaces
    shapes: tuple[Shape, ...]
    bottom: float


class Engraving(NamedTuple):
    """Systems, and the outlines that their glyphs use, by name."""

    systems: tuple[Engraved, ...]
    glyphs: dict[str, str]


def engrave(
    whole: Part, width: float, first: int = 0, end: int | None = None, sung: Sung = NOT_SUNG
) -> Engraving:
    """Bars ``first`` up to ``end`` of a part in systems at most ``width`` pixels wide, where bars allow it.

    ``sung`` are the words for which notes must make room. Raises UnreadableError for music that the engraver
    can't take.
    """
    part = whole._replace(bars=whole.bars[first:end])
    same_time = first > 0 and whole.bars[first].time == whole.bars[first - 1].time
    cut = Cut(not same_time, end is None or end == len(whole.bars))
    toolkit = _toolkit()
    toolkit.setOptions({"pageWidth": round(width / _SCALE / _PAGE_UNIT)})
    if not toolkit.loadData(
        engraver_input(part, cut, {place - first: words for place, words in sung.items()})
    ):
        raise UnreadableError(f"bar {part.bars[0].number}: this music can't be engraved")
    pages = range(1, toolkit.getPageCount() + 1)
    reader = _Reader(part, first)
    systems = [system for page in pages for system in reader.systems(toolkit.renderToSVG(page))]
    return Engraving(tuple(systems), reader.glyphs)


@cache
def _toolkit() -> Any:
    import verovio

    verovio.enableLog(verovio.LOG_OFF)
    toolkit = verovio.toolkit()
    margins = {f"pageMargin{side}": 0 for side in ("Left", "Right", "Top", "Bottom")}
    toolkit.setOptions(
        {
            **margins,
            "adjustPageHeight": True,
            "breaks": "auto",
            "footer": "none",
            "header": "none",
            "lyricSize": 2.0,
            "lyricWordSpace": 0.0,
            "minLastJustification": 0.6,
            "pageHeight": _TALLEST,
            "spacingLinear": 0.27,
            "svgBoundingBoxes": True,
            "svgRemoveXlink": True,
            "svgViewBox": True,
            "xmlIdSeed": 1,
        }
    )
    return toolkit


class _Reader:
    """Reads the engraver's pages; ``glyphs`` grows with what they use."""

    def __init__(self, part: Part, first: int) -> None:
        self.glyphs: dict[str, str] = {}
        self._outlines: dict[str, str] = {}
        self._part, self._first = part, first
        self._next = 0

    def systems(self, svg: str) -> Iterator[Engraved]:
        root = ElementTree.fromstring(svg)
        for glyph in root.iterfind(f"{_SVG}defs/{_SVG}g"):
            path = glyph.find(f"{_SVG}path")
            if path is not None:
                self._outlines[_glyph_name(glyph.get("id", ""))] = path.get("d", "")
        for group in root.iter(f"{_SVG}g"):
            if _classes(group) == {"system"}:
                yield self._system(group)

    def _system(self, group: Element) -> Engraved:
        measures = [child for child in group.iter(f"{_SVG}g") if _classes(child) == {"measure"}]
        lines = [_staff_lines(measure) for measure in measures]
        top, bottom = lines[0][0].top, lines[0][0].bottom
        first = self._next
        self._next += len(measures)
        boxes = [[*_boxes(measure)] for measure in measures]
        music = max((box.right for names, box in boxes[0] if names & _BEFORE_MUSIC), default=lines[0][0].left)
        columns = [
            column
            for number, measure in enumerate(measures, first)
            for column in self._columns(measure, number)
        ]
        columns.sort(key=lambda column: column.x)
        bars = tuple(
            BarPlace(
                self._first + index,
                self._part.bars[index],
                staff[0].left * _SCALE,
                staff[0].right * _SCALE,
                _opening(drawn, staff[0] if index > first else staff[0]._replace(left=music)) * _SCALE,
                _metre(drawn),
            )
            for index, staff, drawn in zip(range(first, self._next), lines, boxes, strict=True)
        )
        places = SystemPlaces(
            bars[0].left, bars[-1].right, music * _SCALE, bars, tuple(_with_ends(columns, bars))
        )
        shapes = self._shapes(
            group, top, [box for drawn in boxes for names, box in drawn if not names & _FRAMES]
        )
        return Engraved(places, shapes, (bottom - top) * _SCALE)

    def _columns(self, measure: Element, index: int) -> Iterator[Column]:
        """A column for each event of a bar whose notes the engraver shows."""
        heads: dict[int, list[Box]] = {}
        for group in measure.iter(f"{_SVG}g"):
            name = group.get("id", "")
            if name.startswith("bbox-n0."):
                rect = group.find(f"{_SVG}rect")
                if rect is not None:
                    heads.setdefault(int(name.split(".")[2]), []).append(_rect(rect))
        for event, boxes in heads.items():
            middle = Counter(round((box.left + box.right) / 2) for box in boxes).most_common(1)[0][0]
            written = self._part.bars[index].events[event]
            yield Column(self._first + index, event, middle * _SCALE, 0, written)

    def _shapes(self, group: Element, top: float, boxes: list[Box]) -> tuple[Shape, ...]:
        drawn = "".join(self._drawn(group, None))
        svg = f'<g class="notation" transform="scale({_SCALE:.5f}) translate(0 {-round(top)})">{drawn}</g>'
        places = [
            Box(b.left * _SCALE, (b.top - top) * _SCALE, b.right * _SCALE, (b.bottom - top) * _SCALE)
            for b in boxes
        ]
        printed = Shape(svg, around(places) if places else Box(0, 0, 0, 0), "notation")
        return printed, *(Shape("", box, "notation") for box in places)

    def _drawn(self, element: Element, note: str | None) -> Iterator[str]:
        """The element and all below it, without groups; note heads carry the name of their note."""
        name = element.tag.removeprefix(_SVG)
        if _classes(element) & _LEFT_OUT:
            return
        if element.get("id", "").startswith("n0."):
            note = self._key(element.get("id", ""))
        if name == "use":
            yield self._use(element, note if note and "notehead" in element.get("_of", "") else None)
        elif name in _DRAWN:
            yield self._plain(element, name)
            return
        head = "notehead" in _classes(element)
        for child in element:
            if head:
                child.set("_of", "notehead")
            yield from self._drawn(child, note)

    def _key(self, identity: str) -> str:
        _, bar, event, row = identity.split(".")
        return f"{self._first + int(bar)}.{event}.{row}"

    def _use(self, element: Element, note: str | None) -> str:
        glyph = _glyph_name(element.get("href", ""))
        match = _MOVE.match(element.get("transform", ""))
        x, y, scale = match.group(1, 2, 3) if match else ("0", "0", "1")
        name = f"g{glyph}-{round(float(scale or 1) * 100)}"
        if name not in self.glyphs:
            outline = attribute(self._outlines.get(glyph, ""))
            self.glyphs[name] = (
                f'<path id="{name}" transform="scale({scale or 1} -{scale or 1})" d="{outline}"/>'
            )
        noted = f' data-n="{note}"' if note else ""
        return f'<use href="#{name}" x="{x}" y="{y}"{noted}/>'

    def _plain(self, element: Element, name: str) -> str:
        attributes = "".join(
            f' {key}="{attribute(element.get(key, ""))}"' for key in (*_SHAPED, *_PENNED) if element.get(key)
        )
        inside = attribute(element.text or "").strip() if name in ("text", "tspan") else ""
        inside += "".join(
            self._plain(child, "tspan") for child in element.iter(f"{_SVG}tspan") if child is not element
        )
        return f"<{name}{attributes}>{inside}</{name}>" if inside else f"<{name}{attributes}/>"


def _classes(element: Element) -> set[str]:
    return set(element.get("class", "").split())


def _glyph_name(identity: str) -> str:
    match = _GLYPH.match(identity)
    return match[1] if match else ""


def _rect(element: Element) -> Box:
    x, y, width, height = (float(element.get(name, 0)) for name in ("x", "y", "width", "height"))
    return Box(x, y, x + width, y + height)


def _staff_lines(measure: Element) -> list[Box]:
    """For each staff of a measure, the box of its lines."""
    staves = [child for child in measure.iter(f"{_SVG}g") if _classes(child) == {"staff"}]
    boxes = []
    for staff in staves:
        numbers = [
            [float(part) for part in re.findall(r"-?\d+", path.get("d", ""))]
            for path in staff.findall(f"{_SVG}path")
        ]
        boxes.append(around(Box(*four) for four in numbers if len(four) == 4))
    return boxes


def _boxes(measure: Element) -> Iterator[tuple[set[str], Box]]:
    """The boxes of what is drawn in a measure, with the classes of each."""
    for group in measure.iter(f"{_SVG}g"):
        names = _classes(group)
        if "bounding-box" in names and not names & (_LEFT_OUT - {"bounding-box"}) and "syl" not in names:
            rect = group.find(f"{_SVG}rect")
            if rect is not None and "text" not in names and _is_real(_rect(rect)):
                yield names, _rect(rect)


def _is_real(box: Box) -> bool:
    """An empty box lies beyond all pages."""
    return max(map(abs, box)) < _TALLEST * _PAGE_UNIT


def _opening(boxes: Iterable[tuple[set[str], Box]], staff: Box) -> float:
    """Where the bar line at the beginning of a measure stands: in a system's first one after clef and key."""
    lines = [box.left for names, box in boxes if "barLine" in names]
    return min(lines, default=staff.left) if len(lines) > 1 else staff.left


def _metre(boxes: Iterable[tuple[set[str], Box]]) -> float | None:
    """The middle of the metre that a measure prints, in pixels."""
    middles = [(box.left + box.right) / 2 for names, box in boxes if "meterSig" in names]
    return middles[0] * _SCALE if middles else None


def _with_ends(columns: list[Column], bars: tuple[BarPlace, ...]) -> Iterator[Column]:
    rights = {place.at: place.right for place in bars}
    for place, column in enumerate(columns):
        later = (later_column.x for later_column in columns[place + 1 :] if later_column.x > column.x + 1)
        end = min(next(later, rights[column.bar]), rights[column.bar])
        x = min(column.x, end - GRACE_ROOM) if column.written.grace else column.x
        yield column._replace(x=x, end=end)


def glyph_defs(glyphs: dict[str, str]) -> str:
    """The outlines as the definitions of an SVG."""
    return f"<defs>{''.join(glyphs[name] for name in sorted(glyphs))}</defs>"


NOTATION_STYLE = (
    ".drawn .notation{fill:currentColor;stroke:currentColor;stroke-linejoin:round}"
    ".drawn .notation use{stroke:none}"
)
