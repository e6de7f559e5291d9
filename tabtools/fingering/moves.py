"""What it costs the hand to go from one state to another."""

from __future__ import annotations

import math
from typing import NamedTuple

from tabtools.fingering.neck import Neck
from tabtools.fingering.states import Held, Layer, Shape
from tabtools.fingering.weights import UNIT, VIOLATION, Weights

IMPOSSIBLE = 10**30
_STEPS = 8  # the pace is told in eighths
_FAST = 250_000  # microseconds
_LEGATO = ("hammer", "pull")


class Join(NamedTuple):
    """Two notes joined by a technique: places in the lists of notes of the two moments."""

    before: int
    after: int
    kind: str


class Move(NamedTuple):
    """How two moments follow each other.

    ``pace`` is what time makes of a shift's cost, in eighths; ``rest`` is true where nothing sounds before
    the second. ``held`` pairs a note of the first with the same note of the second.
    """

    pace: int
    fast: bool
    rest: bool = False
    held: tuple[tuple[int, int], ...] = ()
    joins: tuple[Join, ...] = ()


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
        self._bases: dict[tuple[int, int, bool, object, object], list[list[int]]] = {}
        self._rows: dict[tuple[int, int, Move], tuple[list[list[int]], list[list[int]]]] = {}

    def rows(self, before: Layer, after: Layer, move: Move) -> tuple[list[list[int]], list[list[int]]]:
        """For each state after, the costs from each before; and for each before, those to each after."""
        key = (id(before), id(after), move)
        known = self._rows.get(key)
        if known is None:
            into = self._with_shifts(before, after, move, self._base(before, after, move))
            known = self._rows[key] = (into, [list(column) for column in zip(*into, strict=True)])
        return known

    def _with_shifts(self, before: Layer, after: Layer, move: Move, base: list[list[int]]) -> list[list[int]]:
        shifts = {p: self._shifts(before, p, move) for p in set(after.positions)}
        return [
            [a + b for a, b in zip(row, shifts[p], strict=True)]
            for row, p in zip(base, after.positions, strict=True)
        ]

    def _shifts(self, before: Layer, position: int, move: Move) -> list[int]:
        along = self.neck.along
        here = along[position]
        row = []
        for old, idle in zip(before.positions, before.idle, strict=True):
            if old == position:
                row.append(0)
                continue
            cost = self.weights.stick + self.weights.shift * abs(along[old] - here) / 100 * move.pace / _STEPS
            row.append(round(UNIT * cost * (self.weights.free if idle or move.rest else 1.0)))
        return row

    def _base(self, before: Layer, after: Layer, move: Move) -> list[list[int]]:
        """The part that has nothing to do with time but fast or not."""
        key = (id(before), id(after), move.fast, move.held, move.joins)
        known = self._bases.get(key)
        if known is None:
            known = self._bases[key] = [
                [self._one(before, i, after, j, move) for i in range(len(before.costs))]
                for j in range(len(after.costs))
            ]
        return known

    def _one(self, before: Layer, i: int, after: Layer, j: int, move: Move) -> int:
        cost = abs(before.middles[i] - after.middles[j])
        old, new = before.shapes[i], after.shapes[j]
        same = before.positions[i] == after.positions[j]
        for a, b in move.held:
            held = self._hold(old[a], new[b], same)
            if held >= IMPOSSIBLE:
                return IMPOSSIBLE
            cost += held
        for join in move.joins:
            if not _joined(old[join.before], new[join.after], join.kind, same):
                cost += VIOLATION
        return cost + self._fingers(old, new, same, move)

    def _hold(self, old: Held | None, new: Held | None, same: bool) -> int:
        if new is None:
            return round(UNIT * self.weights.release) if old is not None else 0
        if old != new or (new.finger and not same):
            return IMPOSSIBLE
        return 0

    def _fingers(self, old: Shape, new: Shape, same: bool, move: Move) -> int:
        w = self.weights
        cost = 0.0
        done = 0
        for h in new:
            if h is None or not h.finger or done >> h.finger & 1:
                continue
            done |= 1 << h.finger
            strings = [o.string for o in old if o and o.finger == h.finger]
            frets = {o.fret for o in old if o and o.finger == h.finger}
            if not strings:
                continue
            mine = [n.string for n in new if n and n.finger == h.finger]
            if h.string in strings or set(strings) & set(mine):
                if h.fret not in frets:
                    cost += w.leave if same else w.guide
                elif len(strings) > 1 and len(mine) > 1:
                    cost -= self._kept(strings, mine)
            else:
                cost += w.leave
                if move.fast:
                    cost += w.roll if h.fret in frets else w.hop
        for h in new:
            if h and h.finger and any(o and o[:2] == h[:2] and o.finger not in (0, h.finger) for o in old):
                cost += w.refinger
        return round(UNIT * cost)

    def _kept(self, old: list[int], new: list[int]) -> float:
        width = min(max(old) - min(old), max(new) - min(new)) + 1
        return (self.weights.barre if width > 4 else self.weights.half_barre) - self.weights.barre_kept


def _joined(old: Held | None, new: Held | None, kind: str, same: bool) -> bool:
    """Whether the technique works between two places."""
    if old is None or new is None or old.string != new.string:
        return False
    if kind == "slide":
        return old.fret != 0 and new.fret != 0 and old.finger == new.finger
    if kind == "hammer":
        return new.fret > old.fret and (old.fret == 0 or (same and new.finger > old.finger))
    if kind == "pull":
        return new.fret < old.fret and (new.fret == 0 or (same and new.finger < old.finger))
    return old == new  # tied
