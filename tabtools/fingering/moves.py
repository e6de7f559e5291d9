"""What it costs the hand to go from one state to another."""

from __future__ import annotations

import math
from collections.abc import Hashable
from functools import lru_cache, partial
from itertools import islice
from typing import Any

from tabtools.fingering.edges import Changes, Edge, FingerCosts, Move, alike
from tabtools.fingering.links import Bounds, Table, link
from tabtools.fingering.neck import Neck
from tabtools.fingering.states import Layer
from tabtools.fingering.weights import UNIT, Weights

_STEPS = 8  # the pace is told in eighths
_FAST = 250_000  # microseconds


# So much is remembered of what may come again: enough for phrases and refrains, whatever a piece's length.
_EDGES = 4000


def forget(known: dict[Any, Any], most: int) -> None:
    """Drop the older half of what is remembered once there are so many things."""
    if len(known) >= most:
        for key in list(islice(known, most // 2)):
            del known[key]


@lru_cache(maxsize=256)
def pace(gap: int) -> int:
    """How much time presses a shift, in eighths, for a gap in microseconds: sqrt(0.25 s / gap), at most 3.

    The square root is milder than the published 1/gap (Hori, Kameoka and Sagayama, J. Information
    Processing 21(2) 2013, second-hand) and steeper than the logarithm of Fitts's law; ours [practice].
    """
    return max(1, min(3 * _STEPS, round(_STEPS * math.sqrt(_FAST / max(gap, 1)))))


def is_fast(gap: int) -> bool:
    """Whether a finger has no time to jump to another string, for a gap in microseconds."""
    return gap < _FAST


class Moves:
    """The costs between the states of two layers, for one neck and one set of weights."""

    def __init__(self, neck: Neck, weights: Weights) -> None:
        self.neck = neck
        self.weights = weights
        scale = {name: round(UNIT * getattr(weights, name)) for name in FingerCosts._fields}
        self.finger_costs = FingerCosts(**scale)
        self._edges: dict[tuple[Layer, Layer, bool, object, object], Edge] = {}
        self._changes: dict[Hashable, Changes] = {}
        self._links: dict[tuple[Layer, Layer, Move], Table | Bounds] = {}
        self._rows: dict[tuple[int, float, int], list[int]] = {}

    def link(self, before: Layer, after: Layer, move: Move) -> Table | Bounds:
        """The moves between two layers, the shift of the hand included."""
        key = (before, after, move)
        known = self._links.get(key)
        if known is None:
            forget(self._links, _EDGES)
            edge = self.edge(before, after, move)
            known = self._links[key] = link(edge, partial(self.shifts, move=move))
        return known

    def edge(self, before: Layer, after: Layer, move: Move) -> Edge:
        """The moves between two layers but for the shift of the hand, which `shifts` tell."""
        key = (before, after, move.fast, move.held, move.joins)
        known = self._edges.get(key)
        if known is None:
            forget(self._edges, _EDGES)
            known = self._edges[key] = Edge(before, after, move, self._changed(before, after, move))
        return known

    def _changed(self, before: Layer, after: Layer, move: Move) -> Changes:
        key = alike(before, after, move, self.finger_costs)
        known = self._changes.get(key)
        if known is None:
            forget(self._changes, _EDGES)
            known = self._changes[key] = Changes(before, after, move, self.finger_costs)
        return known

    def shifts(self, position: int, idle: bool, move: Move) -> list[int]:
        """What a shift costs by where it goes, or, as that is the same, by where it comes from.

        It is cheap while nothing is held down.
        """
        weights = self.weights
        share = weights.free if move.rest else weights.free_open if idle else 1.0
        return self._row(move.pace, share, position)

    def _row(self, pace: int, free: float, new: int) -> list[int]:
        """What a shift to a position costs from each position, which is what the way back costs."""
        known = self._rows.get((pace, free, new))
        if known is None:
            weights, along = self.weights, self.neck.along
            share = UNIT * free
            speed = weights.shift / 100 * pace / _STEPS
            known = [round(share * (weights.stick + speed * abs(old - along[new]))) for old in along]
            known[new] = 0
            self._rows[pace, free, new] = known
        return known
