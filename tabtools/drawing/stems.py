"""The rhythm under a tab staff that stands alone: stems, flags, beams, dots and the numbers of tuplets."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from tabtools.drawing.places import BarPlace, Column, SystemPlaces
from tabtools.drawing.shapes import Box, Shape, disc, filled, line, number, text
from tabtools.musicxml.writing.rhythm import Lane, Piece, lanes
from tabtools.score import ZERO, Bar
from tabtools.theory.duration import TYPES

_STEM = 20.0
_BEAM, _BETWEEN = 2.6, 4.6
_FLAGS = {name: count for count, name in enumerate(list(TYPES)[list(TYPES).index("eighth") :], 1)}


def before_bar(bar: Bar, index: int) -> Fraction:
    """What of its metre has passed when a bar begins: in a pick-up at the beginning, all that it lacks."""
    return max(ZERO, bar.time.length - bar.length) if bar.pickup and not index else ZERO


def stem_shapes(places: SystemPlaces, top: float) -> Iterator[Shape]:
    """The rhythm of a system's first voices, from ``top`` down."""
    columns = {(column.bar, column.event): column for column in places.columns}
    for place in places.bars:
        if not place.bar.events:
            continue
        lane = lanes(place.bar, before_bar(place.bar, place.at))[0]
        yield from _bar(place, lane, columns, top)


def _bar(place: BarPlace, lane: Lane, columns: dict[tuple[int, int], Column], top: float) -> Iterator[Shape]:
    group: list[tuple[Piece, float]] = []
    for piece in lane.pieces:
        column = columns.get((place.at, piece.event)) if piece.event is not None else None
        if column is None or not column.written.notes or not piece.value.duration:
            continue
        x = column.x if piece.first else column.x + 9
        yield from _stem(piece, x, top)
        if piece.beams:
            group.append((piece, x))
        if not piece.beams or piece.beams[0] == "end":
            yield from _beams(group, top + _STEM)
            group = []
    yield from _tuplets(place, lane, columns, top + _STEM)


def _stem(piece: Piece, x: float, top: float) -> Iterator[Shape]:
    kind = piece.value.type
    if TYPES[kind] >= 4:
        yield text(x, top + 9, "o", "mark", "middle")
    else:
        bottom = top + (_STEM if TYPES[kind] < 2 else _STEM / 2)
        yield line(x, top, x, bottom, style="stem")
        if not piece.beams:
            yield from _flags(_FLAGS.get(kind, 0), x, bottom)
    for place in range(piece.value.dots):
        yield disc(x + 4.5 + 4 * place, top + 3, 1.3)


def _flags(count: int, x: float, bottom: float) -> Iterator[Shape]:
    for place in range(count):
        y = bottom - place * _BETWEEN
        path = (
            f"M{number(x)} {number(y)}Q{number(x + 6)} {number(y - 3)} {number(x + 5)} {number(y - 9)}"
            f"Q{number(x + 5)} {number(y - 5)} {number(x)} {number(y - 3.5)}Z"
        )
        yield filled(path, Box(x, y - 9, x + 6, y))


def _beams(group: Sequence[tuple[Piece, float]], bottom: float) -> Iterator[Shape]:
    for level in range(max((len(piece.beams) for piece, _ in group), default=0)):
        y = bottom - level * _BETWEEN
        start = 0.0
        for piece, x in group:
            word = piece.beams[level] if level < len(piece.beams) else ""
            if word == "begin":
                start = x
            elif word == "end":
                yield _beam(start, x, y)
            elif word.endswith("hook"):
                yield _beam(*((x, x + 6) if word.startswith("forward") else (x - 6, x)), y)


def _beam(left: float, right: float, y: float) -> Shape:
    left, right = left - 0.5, right + 0.5
    path = f"M{number(left)} {number(y)}H{number(right)}V{number(y - _BEAM)}H{number(left)}Z"
    return filled(path, Box(left, y - _BEAM, right, y))


def _tuplets(
    place: BarPlace, lane: Lane, columns: dict[tuple[int, int], Column], bottom: float
) -> Iterator[Shape]:
    """The number of a tuplet under the middle of its notes."""
    start: float | None = None
    for piece in lane.pieces:
        column = columns.get((place.at, piece.event)) if piece.event is not None else None
        if column is None:
            continue
        if "start" in piece.brackets:
            start = column.x
        if "stop" in piece.brackets and start is not None and piece.value.tuplet:
            yield text(
                (start + column.x) / 2, bottom + 10, str(piece.value.tuplet.actual), "finger", "middle"
            )
            start = None
