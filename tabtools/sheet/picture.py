"""A lesson as one picture: an SVG with its title, its text and its music below each other."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tabtools.drawing.necks import gallery
from tabtools.drawing.shapes import FONTS, Picture, Shape, line, text
from tabtools.drawing.widths import text_width
from tabtools.sheet.lesson import Lesson
from tabtools.sheet.notation import NOTATION_STYLE, glyph_defs
from tabtools.sheet.pictures import WIDE, Look, draw_passages, forms_of
from tabtools.sheet.prose import Paragraph

_EDGE = 20.0
_LEADING = 1.45  # from one line of prose to the next, in font sizes
_NECKS = 3  # beside each other


def lesson_picture(lesson: Lesson, look: Look) -> str:
    """The lesson as an SVG file of one page, as high as it needs to be.

    Raises UnreadableError for music that the engraver can't take.
    """
    drawn, necks = draw_passages(lesson, WIDE, look), forms_of(lesson, look)
    shapes = list(_head(lesson))
    top = _bottom(shapes) + 14
    for block in lesson.blocks:
        if isinstance(block, Paragraph):
            shapes += _prose(block, top)
        else:
            for picture in drawn.systems[block]:
                shapes += (shape.moved(_EDGE, top) for shape in picture.shapes)
                top += picture.height + 12
            named = necks.get(block, [])
            if named:
                shapes += (shape.moved(_EDGE, top) for shape in gallery(named, _NECKS).shapes)
        top = _bottom(shapes) + 16
    width = max([WIDE + 2 * _EDGE, *(shape.box.right + _EDGE for shape in shapes)])
    defs = f"<style>{NOTATION_STYLE}</style>{glyph_defs(drawn.glyphs)}"
    return Picture(tuple(shapes), width, top).svg(lesson.title, defs) + "\n"


def _bottom(shapes: Sequence[Shape]) -> float:
    return max(shape.box.bottom for shape in shapes)


def _head(lesson: Lesson) -> Iterator[Shape]:
    yield text(_EDGE, 40, lesson.title, "title")
    yield line(_EDGE, 50, _EDGE + WIDE, 50)
    facts = " \N{MIDDLE DOT} ".join(f"{name}: {words}" for name, words in lesson.facts)
    for number, words in enumerate(_wrapped(facts)):
        yield text(_EDGE, 68 + 16 * number, words, "caption")


def _prose(paragraph: Paragraph, top: float) -> Iterator[Shape]:
    rows = paragraph.lines if paragraph.laid_out else _wrapped(paragraph.text)
    for number, words in enumerate(rows):
        yield text(_EDGE, top + (1 + _LEADING * number) * FONTS["prose"].size, words, "prose")


def _wrapped(words: str) -> list[str]:
    """Lines that fit between the edges."""
    lines = [""]
    for word in words.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and text_width(longer, FONTS["prose"].size) > WIDE:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines
