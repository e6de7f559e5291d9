"""A motif found again: transposed, elsewhere on the neck, or with ornaments."""

from __future__ import annotations

from collections.abc import Sequence

from tabtools.phrases.aligning import GAP, Alignment, Stroke, align
from tabtools.record import NamedTuple

# How unlike a motif its appearance may be, in thousandths a stroke: one note in four another one.
_MOST_UNLIKE = 300
_FEWEST = 3
_ORNAMENTS = 2  # strokes that an appearance may have more or fewer than the motif, for each four of it


class Appearance(NamedTuple):
    """A motif found again: its strokes, and how they pair with those of the motif."""

    strokes: tuple[Stroke, ...]
    alignment: Alignment


def appearances(motif: Sequence[Stroke], line: Sequence[Stroke], *, at_home: bool = True) -> list[Appearance]:
    """Where a motif of at least three strokes comes again in a line, in order and without overlap.

    ``at_home`` says that the motif is taken from this line: there it does not count as come again. Times are
    compared within a bar that begins with the motif.
    """
    if len(motif) < _FEWEST:
        return []
    model = _from_start(motif)
    spread = max(1, _ORNAMENTS * len(motif) // 4)
    found: list[Appearance] = []
    taken = {_at(stroke) for stroke in motif} if at_home else set()
    candidates = []
    for start in range(len(line)):
        for size in range(max(_FEWEST, len(motif) - spread), len(motif) + spread + 1):
            window = line[start : start + size]
            if len(window) == size and not any(_at(stroke) in taken for stroke in window):
                alignment = align(model, _from_start(window))
                if alignment.cost - (GAP // 2 if alignment.interval else 0) <= _MOST_UNLIKE * len(motif):
                    candidates.append((alignment.cost, start, size, alignment))
    used: set[int] = set()
    for _, start, size, alignment in sorted(candidates, key=lambda one: one[:3]):
        places = set(range(start, start + size))
        if not places & used:
            used |= places
            found.append(Appearance(tuple(line[start : start + size]), alignment))
    return sorted(found, key=lambda one: one.strokes[0].start)


def _at(stroke: Stroke) -> tuple[object, ...]:
    return stroke.number, stroke.event.onset, stroke.event.grace


def _from_start(line: Sequence[Stroke]) -> list[Stroke]:
    """The strokes as if all stood in one bar that begins with the first of them."""
    first = line[0].start
    return [
        stroke._replace(number=0, event=stroke.event._replace(onset=stroke.start - first)) for stroke in line
    ]
