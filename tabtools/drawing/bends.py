"""Bends as arrows that rise over the staff, with their size."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from tabtools.drawing.frets import fret_width, fret_y
from tabtools.drawing.shapes import Box, Shape, filled, number, stroke, text
from tabtools.score import Note, Technique
from tabtools.techniques import BENDS

_HEIGHT = 13.0  # of the arrow's point over the first string
_REACH = 9.0  # from the number to the arrow, and from there to where the release comes down
_HEAD = 4.5
_BESIDE = 5.5  # from one arrow to the next
_PARTS = {
    Fraction(0): "",
    Fraction(1, 2): "\N{VULGAR FRACTION ONE QUARTER}",
    Fraction(1): "\N{VULGAR FRACTION ONE HALF}",
}
_PARTS[Fraction(3, 2)] = "\N{VULGAR FRACTION THREE QUARTERS}"


def bend_of(note: Note) -> Technique | None:
    """The bend of a note, None where it has none."""
    return next((technique for technique in note.techniques if technique.name in BENDS), None)


def amount_words(semitones: Fraction) -> str:
    """A bend's size in whole tones, as it is printed: ``full`` for 2 semitones, ``1½`` for 3."""
    if semitones == 2:
        return "full"
    tones, left = divmod(semitones, 2)
    if left in _PARTS:
        return f"{tones or ''}{_PARTS[left]}" or "0"
    return f"{float(semitones / 2):g}"


def bend_width(note: Note) -> float:
    """How far a bend reaches to the right of the middle of its number."""
    bend = bend_of(note)
    if bend is None:
        return 0
    reach = fret_width(note) / 2
    reach += 0 if bend.name.startswith("prebend") else _REACH
    return max(reach + (_REACH if bend.name.endswith("release") else 0) + _HEAD, 14)


def column_bend_width(notes: Sequence[Note]) -> float:
    """How far the bends of notes struck together reach: their arrows stand beside each other."""
    bent = [note for note in notes if bend_of(note) and note.string is not None]
    return max((bend_width(note) for note in bent), default=0) + _BESIDE * max(0, len(bent) - 1)


def bend_shapes(notes: Sequence[tuple[Note, float]]) -> Iterator[Shape]:
    """The arrows of notes struck together, each given with the middle of its number, and their size once."""
    bent = [(note, x, bend) for note, x in notes if (bend := bend_of(note))]
    across: list[float] = []
    for place, (note, x, bend) in enumerate(bent):
        point = (x if _is_bent_before(bend) else x + fret_width(note) / 2 + _REACH) + _BESIDE * place
        across.append(point)
        yield from _bend(note, bend, x, point)
    sizes = dict.fromkeys(amount_words(bend.value) for _, _, bend in bent if bend.value is not None)
    if sizes:
        middle = (across[0] + across[-1]) / 2
        yield text(middle, -_HEIGHT - 3, "/".join(sizes), "mark", "middle")


def _is_bent_before(bend: Technique) -> bool:
    return bend.name.startswith("prebend")


def _bend(note: Note, bend: Technique, x: float, point: float) -> Iterator[Shape]:
    """The arrow of a note whose number is at x; it rises at ``point``."""
    assert note.string is not None
    y, edge = fret_y(note.string), x + fret_width(note) / 2
    if _is_bent_before(bend):
        start, foot, left = f"M{number(point)} {number(y - 6)}", y - 6, point
    else:
        curve = f"Q{number(point)} {number(y)} {number(point)} {number(y - 7)}"
        start, foot, left = f"M{number(edge)} {number(y)}{curve}", y, edge
    yield from _arrow(start, point, -_HEIGHT, Box(left, -_HEIGHT, point, foot))
    if bend.name.endswith("release"):
        yield from _release(point, max(point, edge) + _REACH, y)


def _arrow(start: str, x: float, top: float, box: Box) -> Iterator[Shape]:
    yield stroke(f"{start}L{number(x)} {number(top + _HEAD)}", box, kind="line")
    yield _head(x, top, 1)


def _release(x: float, end: float, y: float) -> Iterator[Shape]:
    top = -_HEIGHT
    path = (
        f"M{number(x)} {number(top)}Q{number(end)} {number(top)} {number(end)} {number(top + 8)}"
        f"L{number(end)} {number(y - _HEAD)}"
    )
    yield stroke(path, Box(x, top, end, y), kind="line")
    yield _head(end, y, -1)


def _head(x: float, point: float, up: int) -> Shape:
    """The head of an arrow that points up (1) or down (-1)."""
    base = point + up * _HEAD
    path = f"M{number(x)} {number(point)}L{number(x - 2.4)} {number(base)}H{number(x + 2.4)}Z"
    return filled(path, Box(x - 2.4, min(point, base), x + 2.4, max(point, base)))
