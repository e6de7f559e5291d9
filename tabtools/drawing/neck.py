"""A stretch of a neck with notes on it, string 1 on top as in tab: forms, boxes, phrases, chords."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from tabtools.drawing.shapes import (
    ROLES,
    Box,
    Picture,
    Shape,
    attribute,
    disc,
    line,
    number,
    text,
)
from tabtools.drawing.widths import text_width
from tabtools.record import NamedTuple

FRET, STRING = 34.0, 17.0
_MARK = 7.4
_MARGIN, _OPEN = 8.0, 22.0
_FEWEST = 4
_INLAYS = {3: 1, 5: 1, 7: 1, 9: 1, 12: 2, 15: 1, 17: 1, 19: 1, 21: 1, 24: 2}  # common practice, no source


class Dot(NamedTuple):
    """A note on the neck. ``fret`` counts from the capo, 0 is open; ``role`` is a key of `shapes.ROLES`."""

    string: int
    fret: int
    label: str
    role: str = "other"
    finger: str | None = None


class Frame(NamedTuple):
    """The part of the neck that is drawn: frets ``low`` to ``high``; ``names`` are those of the strings."""

    low: int
    high: int
    names: tuple[str, ...]
    left_handed: bool
    lead: float

    @property
    def width(self) -> float:
        return self.lead + _OPEN + (self.high - self.low + 1) * FRET + _MARGIN

    def x(self, fret: float) -> float:
        """The middle of a fret's room; of an open string's, beside the nut."""
        from_left = self.lead + (_OPEN / 2 if fret == 0 else _OPEN + (fret - self.low + 0.5) * FRET)
        return self.width - from_left if self.left_handed else from_left

    def wire(self, fret: int) -> float:
        """The fret wire behind which a fret's room ends."""
        from_left = self.lead + _OPEN + (fret - self.low + 1) * FRET
        return self.width - from_left if self.left_handed else from_left

    def y(self, string: float) -> float:
        return _MARGIN + _MARK / 2 + (string - 1) * STRING


def neck_picture(
    dots: Iterable[Dot],
    names: Sequence[str],
    *,
    muted: Sequence[int] = (),
    left_handed: bool = False,
    capo: int = 0,
    barres: bool = True,
) -> Picture:
    """The notes on the neck of an instrument whose strings, string 1 first, are called ``names``.

    At least four frets are shown. ``muted`` strings get a cross. A finger that holds several strings of a
    fret is drawn as a barre unless ``barres`` is false.
    """
    notes = list(dots)
    frets = [dot.fret for dot in notes if dot.fret > 0] or [1]
    low, high = min(frets), max(frets)
    if low <= 2 and high <= _FEWEST + 1:
        low = 1
    high = max(high, low + _FEWEST - 1)
    lead = _MARGIN + max((text_width(name, 10) for name in names), default=0) + 5
    frame = Frame(low, high, tuple(names), left_handed, lead)
    shapes = [*_board(frame, capo), *_captions(frame), *(_crosses(frame, muted))]
    if barres:
        shapes += _barres(frame, notes)
    for dot in notes:
        shapes += _dot(frame, dot)
    return Picture(tuple(shapes), frame.width, frame.y(len(names)) + _MARK + 20)


def _board(frame: Frame, capo: int) -> Iterator[Shape]:
    """Strings, fret wires, the nut (or the capo) and inlays."""
    last = len(frame.names)
    top, bottom = frame.y(1), frame.y(last)
    nut, end = sorted((frame.wire(frame.low - 1), frame.wire(frame.high)))
    for fret in range(frame.low, frame.high + 1):
        yield from _inlays(frame, fret + capo, frame.x(fret))
        yield line(frame.wire(fret), top, frame.wire(fret), bottom, kind="line")
    edge = frame.wire(frame.low - 1)
    yield line(edge, top, edge, bottom, style="nut" if frame.low == 1 else "thin", kind="line")
    for string in range(1, last + 1):
        yield line(nut, frame.y(string), end, frame.y(string), style="wire", kind="line")


def _inlays(frame: Frame, fret: int, x: float) -> Iterator[Shape]:
    middle = (1 + len(frame.names)) / 2
    heights = {1: (middle,), 2: (middle - 1, middle + 1)}.get(_INLAYS.get(fret, 0), ())
    for string in heights:
        yield disc(x, frame.y(string), 4, style="inlay", kind="line")


def _captions(frame: Frame) -> Iterator[Shape]:
    """Names of strings beside the neck, numbers of frets below."""
    side = frame.width - _MARGIN if frame.left_handed else _MARGIN
    for string, name in enumerate(frame.names, 1):
        yield text(side, frame.y(string) + 3.6, name, "string", "end" if frame.left_handed else "start")
    for fret in range(frame.low, frame.high + 1):
        yield text(frame.x(fret), frame.y(len(frame.names)) + _MARK + 13, str(fret), "string", "middle")


def _crosses(frame: Frame, muted: Sequence[int]) -> Iterator[Shape]:
    for string in muted:
        yield text(frame.x(0), frame.y(string) + 3.6, "\N{MULTIPLICATION SIGN}", "caption", "middle")


def _barres(frame: Frame, dots: Sequence[Dot]) -> Iterator[Shape]:
    held: dict[tuple[str, int], list[int]] = {}
    for dot in dots:
        if dot.finger and dot.fret:
            held.setdefault((dot.finger, dot.fret), []).append(dot.string)
    for (_, fret), strings in held.items():
        if len(strings) > 1:
            x = frame.x(fret)
            yield line(x, frame.y(min(strings)), x, frame.y(max(strings)), style="barre", kind="line")


def _dot(frame: Frame, dot: Dot) -> Iterator[Shape]:
    x, y = frame.x(dot.fret), frame.y(dot.string)
    key = f'data-p="{dot.string}.{dot.fret}"'
    shape = _outline(dot.role, x, y)
    name = attribute(dot.role if dot.role in ROLES else "other")
    box = Box(x - _MARK, y - _MARK, x + _MARK, y + _MARK)
    yield Shape(f'<path class="{name}" {key} d="{shape}"/>', box, "mark")
    yield text(x, y + 3.5, dot.label, "degree", "middle")._replace(kind="inside")
    if dot.finger and dot.fret:
        across = -1 if frame.left_handed else 1
        yield text(x + across * (_MARK + 3.4), y - 2.6, dot.finger, "finger", "middle")


def _outline(role: str, x: float, y: float) -> str:
    """A shape for each role: square root, upright third, six-sided fifth, tapered seventh, others round."""
    half = _MARK
    corners = {
        "root": ((-1, -1), (1, -1), (1, 1), (-1, 1)),
        "third": ((0, -1.28), (1.28, 0), (0, 1.28), (-1.28, 0)),
        "fifth": ((-0.6, -1), (0.6, -1), (1.2, 0), (0.6, 1), (-0.6, 1), (-1.2, 0)),
        "seventh": ((-1.2, -0.75), (1.2, -0.75), (0.75, 1), (-0.75, 1)),
    }.get(role)
    if corners is None:
        arcs = f"a{half} {half} 0 1 0 {2 * half} 0a{half} {half} 0 1 0 {-2 * half} 0"
        return f"M{number(x - half)} {number(y)}{arcs}Z"
    points = "L".join(f"{number(x + half * across)} {number(y + half * down)}" for across, down in corners)
    return f"M{points}Z"


def role_of_degree(degree: str) -> str:
    """The role that a degree such as ``b3`` or ``R`` has in a chord: a key of `shapes.ROLES`."""
    digits = degree.strip("b#")
    return {"R": "root", "1": "root", "3": "third", "5": "fifth", "7": "seventh"}.get(digits, "other")


def printed_degree(degree: str) -> str:
    """A degree with the signs of music in place of letters: ``R`` for the root, ``b3`` with a flat sign."""
    if degree == "1":
        return "R"
    return degree.replace("b", "\N{MUSIC FLAT SIGN}").replace("#", "\N{MUSIC SHARP SIGN}")
