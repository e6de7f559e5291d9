"""Whether anything in a picture stands on anything else, or outside."""

from __future__ import annotations

from collections.abc import Iterator

from tabtools.drawing.shapes import Picture, Shape

_SLACK = 0.6  # pixels that boxes may share: glyphs do not fill theirs
_SOLID = {"text", "mark"}


def overlaps(picture: Picture) -> Iterator[str]:
    """What is wrong with the boxes: texts and marks that share room with others or with the notation."""
    solid = [shape for shape in picture.shapes if shape.kind in _SOLID]
    printed = [shape for shape in picture.shapes[1:] if shape.kind == "notation" and not shape.svg]
    for place, shape in enumerate(solid):
        for other in (*solid[place + 1 :], *printed):
            if shape.box.overlaps(other.box, _SLACK) and not _belong(shape, other):
                yield f"{shape.svg[:90]} {shape.box} on {other.svg[:90]} {other.box}"
        if not _inside(shape, picture):
            yield f"{shape.svg[:90]} outside"


def _inside(shape: Shape, picture: Picture) -> bool:
    left, top, right, bottom = shape.box
    return left >= -1 and top >= -1 and right <= picture.width + 1 and bottom <= picture.height + 1


def _belong(shape: Shape, other: Shape) -> bool:
    """Parts of one sign: a stem and its beam or flag, the head of an arrow and its stroke."""
    return shape.kind == other.kind == "mark"
