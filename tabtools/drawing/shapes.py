"""The pieces of a picture: text, strokes and outlines, each with the box that it fills."""

from __future__ import annotations

import re
from collections.abc import Iterable
from html import escape

from tabtools.drawing.widths import text_width
from tabtools.record import NamedTuple

# What XML 1.0 can't hold, escaped or not.
FORBIDDEN = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_ASCENT, _DESCENT = 0.76, 0.22  # of a line of text, in font sizes

SANS = "Arial,'Liberation Sans','DejaVu Sans',sans-serif"


class Font(NamedTuple):
    """How a kind of text is set: size in pixels."""

    size: float
    bold: bool = False
    italic: bool = False
    quiet: bool = False


# Every kind of text in our pictures; the name is its class in the style sheet.
FONTS = {
    "fret": Font(11),
    "grace": Font(8.5),
    "chord": Font(13, bold=True),
    "section": Font(12.5, bold=True),
    "tempo": Font(11.5),
    "words": Font(11, italic=True),
    "form": Font(10, italic=True, quiet=True),
    "mark": Font(9),
    "ending": Font(10),
    "times": Font(10, bold=True),
    "number": Font(8.5, quiet=True),
    "finger": Font(8.5),
    "clef": Font(10.5, bold=True),
    "metre": Font(14, bold=True),
    "string": Font(10, quiet=True),
    "degree": Font(10, bold=True),
    "caption": Font(11),
    "lyric": Font(11),
    "title": Font(22, bold=True),
    "prose": Font(12),
}


class Box(NamedTuple):
    """A rectangle in pixels."""

    left: float
    top: float
    right: float
    bottom: float

    def moved(self, across: float, down: float) -> Box:
        """The same box, farther right and down."""
        return Box(self.left + across, self.top + down, self.right + across, self.bottom + down)

    def overlaps(self, other: Box, slack: float = 0) -> bool:
        """Whether two boxes share more than ``slack`` pixels both ways."""
        across = min(self.right, other.right) - max(self.left, other.left)
        down = min(self.bottom, other.bottom) - max(self.top, other.top)
        return across > slack and down > slack


class Shape(NamedTuple):
    """A piece of a picture. ``kind`` is ``text``, ``mark`` or, for what others may cross, ``line``."""

    svg: str
    box: Box
    kind: str = "mark"

    def moved(self, across: float, down: float) -> Shape:
        """The same shape, farther right and down."""
        group = f'<g transform="translate({number(across)} {number(down)})">{self.svg}</g>'
        return Shape(group, self.box.moved(across, down), self.kind)


class Picture(NamedTuple):
    """Shapes, and the size of the page that they stand on: from 0, 0 to ``width``, ``height`` in pixels."""

    shapes: tuple[Shape, ...]
    width: float
    height: float

    def svg(self, title: str, defs: str = "", family: str = SANS) -> str:
        """The picture as an SVG file of its own; ``family`` are the fonts of its text."""
        style = f"<style>{stylesheet(family)}</style>"
        paper = '<rect width="100%" height="100%" fill="#fff"/>'
        return self.inline(title, 'xmlns="http://www.w3.org/2000/svg" color="#111"', style + defs + paper)

    def inline(self, title: str, attributes: str = "", before: str = "") -> str:
        """The picture as an element for a page that has the style sheet. ``title`` is what is read aloud."""
        size = f'width="{number(self.width)}" height="{number(self.height)}"'
        view = f'viewBox="0 0 {number(self.width)} {number(self.height)}"'
        shapes = "".join(shape.svg for shape in self.shapes)
        start = f'<svg {attributes + " " if attributes else ""}class="drawn" {size} {view} role="img"'
        return f'{start} aria-label="{attribute(title)}">{before}{shapes}</svg>'


def number(value: float) -> str:
    """A number as short as a tenth of a pixel needs."""
    return f"{value:.1f}".removesuffix(".0").replace("-0", "0") if abs(value) < 0.05 else _short(value)


def _short(value: float) -> str:
    return f"{value:.1f}".removesuffix(".0")


def content(text: str) -> str:
    """Text as it may stand between tags."""
    return escape(FORBIDDEN.sub("\ufffd", text), quote=False)


def attribute(text: str) -> str:
    """Text as it may stand in double quotes in a tag."""
    return escape(FORBIDDEN.sub("\ufffd", text), quote=True)


def text_box(x: float, y: float, words: str, font: str, anchor: str = "start") -> Box:
    """The box of a text whose baseline is at ``y``; ``anchor`` says what stands at ``x``."""
    face = FONTS[font]
    width = text_width(words, face.size, bold=face.bold)
    left = x - {"start": 0, "middle": width / 2, "end": width}[anchor]
    return Box(left, y - _ASCENT * face.size, left + width, y + _DESCENT * face.size)


def text_height(font: str) -> float:
    """From the top to the bottom of a line of text."""
    return FONTS[font].size * (_ASCENT + _DESCENT)


def text(
    x: float, y: float, words: str, font: str, anchor: str = "start", *, key: str | None = None
) -> Shape:
    """A line of text; ``key`` names the note that it stands for."""
    noted = f' data-n="{attribute(key)}"' if key else ""
    turned = f' text-anchor="{anchor}"' if anchor != "start" else ""
    start = f'<text class="{font}" x="{number(x)}" y="{number(y)}"{turned}{noted}>'
    return Shape(f"{start}{content(words)}</text>", text_box(x, y, words, font, anchor), "text")


def text_over(x: float, bottom: float, words: str, font: str, anchor: str = "start") -> Shape:
    """A line of text whose box ends at ``bottom``."""
    return text(x, bottom - _DESCENT * FONTS[font].size, words, font, anchor)


def stroke(path: str, box: Box, *, style: str = "thin", kind: str = "mark") -> Shape:
    """An open path, drawn with a pen: ``thin``, ``staff``, ``thick`` or ``dashed``."""
    return Shape(f'<path class="{style}" d="{path}"/>', box, kind)


def line(x1: float, y1: float, x2: float, y2: float, *, style: str = "thin", kind: str = "mark") -> Shape:
    """A straight line."""
    path = f"M{number(x1)} {number(y1)}L{number(x2)} {number(y2)}"
    return stroke(path, Box(min(x1, x2), min(y1, y2), max(x1, x2), max(y1, y2)), style=style, kind=kind)


def filled(path: str, box: Box, *, style: str = "ink", kind: str = "mark") -> Shape:
    """A closed path, filled."""
    return Shape(f'<path class="{style}" d="{path}"/>', box, kind)


def disc(x: float, y: float, radius: float, *, style: str = "ink", kind: str = "mark") -> Shape:
    """A filled circle."""
    circle = f'<circle class="{style}" cx="{number(x)}" cy="{number(y)}" r="{number(radius)}"/>'
    return Shape(circle, Box(x - radius, y - radius, x + radius, y + radius), kind)


def moved(shapes: Iterable[Shape], down: float) -> list[Shape]:
    """Shapes farther down by some pixels, drawn in one group that the first of them holds."""
    together = list(shapes)
    svg = "".join(shape.svg for shape in together)
    group = f'<g transform="translate(0 {number(down)})">{svg}</g>'
    places = [shape._replace(svg="", box=shape.box.moved(0, down)) for shape in together]
    return [places[0]._replace(svg=group), *places[1:]] if places else []


def around(boxes: Iterable[Box]) -> Box:
    """The box around boxes. Raises ValueError for none."""
    lefts, tops, rights, bottoms = zip(*boxes, strict=True)
    return Box(min(lefts), min(tops), max(rights), max(bottoms))


_PENS = {
    "staff": 0.7,
    "thin": 0.9,
    "thick": 3.2,
    "stem": 1.1,
    "dashed": 0.9,
    "wire": 1,
    "nut": 3.5,
    "barre": 11,
}
# Colours by what a note is in its chord, after the palette of Okabe and Ito (Color Universal Design, 2008),
# darkened so that white letters can be read on them; the shapes in `neck` say the same without colour.
ROLES = {"root": "#a84300", "third": "#005a8c", "fifth": "#006b4f", "seventh": "#8a3a6a", "other": "#555"}


def stylesheet(family: str = SANS) -> str:
    """The style sheet of all pictures; each rule holds inside drawings only."""
    rules = [f".drawn text{{font-family:{family};fill:currentColor}}"]
    for name, font in FONTS.items():
        weight = ";font-weight:bold" if font.bold else ""
        slope = ";font-style:italic" if font.italic else ""
        tone = ";fill-opacity:.78" if font.quiet else ""
        rules.append(f".drawn .{name}{{font-size:{font.size}px{weight}{slope}{tone}}}")
    for name, width in _PENS.items():
        rules.append(f".drawn .{name}{{fill:none;stroke:currentColor;stroke-width:{width}}}")
    rules.append(".drawn .dashed{stroke-dasharray:4 3}.drawn .barre{stroke-linecap:round;stroke-opacity:.3}")
    rules.append(".drawn .bar{fill:none;pointer-events:all}")
    rules.append(".drawn .ink{fill:currentColor}.drawn .inlay{fill:currentColor;fill-opacity:.18}")
    rules += (f".drawn .{name}{{fill:{colour}}}" for name, colour in ROLES.items())
    rules.append(".drawn text.degree{fill:#fff}")
    return "".join(rules)
