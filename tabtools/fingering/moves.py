"""What it costs the hand to go from one state to another."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import islice
from typing import Any, NamedTuple

from tabtools.fingering.neck import Held, Neck, Place
from tabtools.fingering.states import Layer, Presses
from tabtools.fingering.weights import UNIT, VIOLATION, Weights

IMPOSSIBLE = 10**30
_STEPS = 8  # the pace is told in eighths
_FAST = 250_000  # microseconds


# So much is remembered of what may come again: enough for phrases and refrains, whatever a piece's length.
_EDGES = 1000
_SHIFTS = 8000


def forget(known: dict[Any, Any], most: int) -> None:
    """Drop the older half of what is remembered once there are so many things."""
    if len(known) >= most:
        for key in list(islice(known, most // 2)):
            del known[key]


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
        scale = {name: round(UNIT * getattr(weights, name)) for name in _FINGER_COSTS}
        self.finger_costs = _Fingers(**scale)
        self._edges: dict[tuple[Layer, Layer, bool, object, object], Edge] = {}
        self._shifts: dict[tuple[Layer, int, int, bool], list[int]] = {}
        self._rows: dict[tuple[int, bool, int], list[int]] = {}

    def edge(self, before: Layer, after: Layer, move: Move) -> Edge:
        """The moves between two layers but for the shift of the hand, which `shifts` tells."""
        key = (before, after, move.fast, move.held, move.joins)
        known = self._edges.get(key)
        if known is None:
            forget(self._edges, _EDGES)
            known = self._edges[key] = Edge(before, after, move, self.finger_costs)
        return known

    def into(self, before: Layer, position: int, move: Move) -> list[int]:
        """What a shift to a position costs from each state before."""
        key = (before, position, move.pace, move.rest)
        known = self._shifts.get(key)
        if known is None:
            forget(self._shifts, _SHIFTS)
            free, held = self._row(move.pace, True, position), self._row(move.pace, move.rest, position)
            stands = zip(before.positions, before.idle, strict=True)
            known = self._shifts[key] = [free[old] if idle else held[old] for old, idle in stands]
        return known

    def shift(self, old: int, idle: bool, new: int, move: Move) -> int:
        """What a shift costs; it is cheap while nothing is held down."""
        return self._row(move.pace, idle or move.rest, new)[old]

    def _row(self, pace: int, free: bool, new: int) -> list[int]:
        """What a shift to a position costs from each position."""
        known = self._rows.get((pace, free, new))
        if known is None:
            weights, along = self.weights, self.neck.along
            share = UNIT * (weights.free if free else 1.0)
            speed = weights.shift / 100 * pace / _STEPS
            known = [round(share * (weights.stick + speed * abs(old - along[new]))) for old in along]
            known[new] = 0
            self._rows[pace, free, new] = known
        return known


_FINGER_COSTS = ("leave", "guide", "hop", "roll", "refinger", "release", "broken", "blur")


class _Fingers(NamedTuple):
    leave: int
    guide: int
    hop: int
    roll: int
    refinger: int
    release: int
    broken: int
    blur: int


class Edge:
    """Two layers and what joins them.

    ``loose`` are the states after that hold nothing on from before: any state may lead to them. ``into``
    says for the others which states lead there, ``out`` is its transpose. ``known`` is what `cost` has been
    asked before: by whether the position stays, the kind before and the kind after.
    """

    def __init__(self, before: Layer, after: Layer, move: Move, costs: _Fingers) -> None:
        self.before = before
        self.after = after
        self._move = move
        self._costs = costs
        self.known: tuple[list[dict[int, int]], ...] = tuple(
            [{} for _ in set(before.kinds)] for _ in range(2)
        )
        self.loose: dict[int, list[int]] = {}
        self.into: dict[int, list[int]] = {}
        self.out: dict[int, list[int]] = {}
        self._leaps, self._steps = _intervals(before, after) if costs.broken or costs.blur else ([], [])
        self._pair()

    def _pair(self) -> None:
        groups: dict[object, dict[object, list[int]]] = {}
        for j, shape in enumerate(self.after.shapes):
            kept = tuple((a, shape[b]) for a, b in self._move.held if shape[b] is not None)
            if not kept:
                self.loose.setdefault(self.after.positions[j], []).append(j)
                continue
            position = self.after.positions[j] if any(h and h.finger for _, h in kept) else None
            names = (tuple(a for a, _ in kept), position is None)
            if names not in groups:
                groups[names] = self._grouped(*names)
            self.into[j] = groups[names].get((tuple(h for _, h in kept), position), [])
            for i in self.into[j]:
                self.out.setdefault(i, []).append(j)

    def _grouped(self, notes: tuple[int, ...], anywhere: bool) -> dict[object, list[int]]:
        """The states before by where they hold some notes, and by position where that matters."""
        found: dict[object, list[int]] = {}
        for i, (shape, position) in enumerate(zip(self.before.shapes, self.before.positions, strict=True)):
            key = (tuple(shape[n] for n in notes), None if anywhere else position)
            found.setdefault(key, []).append(i)
        return found

    def cost(self, i: int, j: int) -> int:
        """From state ``i`` before to state ``j`` after; never less than 0.

        It is the same for all states of the same two kinds, but for whether the position stays.
        """
        same = self.before.positions[i] == self.after.positions[j]
        row, kind = self.known[same][self.before.kinds[i]], self.after.kinds[j]
        found = row.get(kind)
        if found is None:
            found = row[kind] = self._cost(i, j, same)
        return found

    def _cost(self, i: int, j: int, same: bool) -> int:
        before, after, move = self.before, self.after, self._move
        cost = abs(before.middles[i] - after.middles[j])
        if move.held:
            old, new = before.shapes[i], after.shapes[j]
            cost += self._costs.release * sum(new[b] is None and old[a] is not None for a, b in move.held)
        if self._leaps or self._steps:
            cost += self._ring(before.places[i], after.places[j])
        for join in move.joins:
            if not joined(before.shapes[i][join.before], after.shapes[j][join.after], join.kind, same):
                cost += VIOLATION
        return cost + self._change(before.presses[i], after.presses[j], same)

    def _ring(self, old: tuple[Place, ...], new: tuple[Place, ...]) -> int:
        """What it takes from the sound: a broken chord cut off, an open string ringing into its neighbour."""
        cost = 0
        for a, b in self._leaps:
            if old[a][0] == new[b][0]:
                cost += self._costs.broken
        for a, b in self._steps:
            if old[a][1] == 0 and old[a][0] != new[b][0]:
                cost += self._costs.blur
        return cost

    def _change(self, old: Presses, new: Presses, same: bool) -> int:
        """What the fingers have to do; see the table of weights."""
        costs = self._costs
        cost = 0
        for finger, press in new.items():
            last = old.get(finger)
            if last is None:
                cost += press.new
                for other, was in old.items():
                    if was.fret == press.fret and other != finger and was.low <= press.high <= was.high:
                        cost += costs.refinger
                continue
            fret, high, low, new_barre = press.fret, press.high, press.low, press.new
            if last.low >= high and low >= last.high:
                if last.fret != fret:
                    cost += (costs.leave if same else costs.guide) + new_barre
                elif last.low == last.high:
                    cost += new_barre
            else:
                cost += costs.leave + new_barre
                if self._move.fast:
                    cost += costs.roll if last.fret == fret else costs.hop
        return cost


_BLUR = 3  # semitones, within which an open string blurs the next note


def _intervals(before: Layer, after: Layer) -> tuple[list[tuple[int, int]], list[tuple[int, int]]]:
    """Pairs of notes struck one after the other that are a leap or a step apart."""
    if min(len(before.pitches), len(after.pitches)) > 1:
        return [], []
    leaps, steps = [], []
    for a, old in enumerate(before.pitches):
        for b, new in enumerate(after.pitches):
            apart = abs(old - new)
            if apart > 2:
                leaps.append((a, b))
            if 0 < apart <= _BLUR:
                steps.append((a, b))
    return leaps, steps


def joined(old: Held | None, new: Held | None, kind: str, same: bool) -> bool:
    """Whether a technique can join two places; ``same`` is whether the hand stays in its position."""
    if old is None or new is None or old.string != new.string:
        return False
    return _JOINS[kind](old, new, same)


_JOINS: dict[str, Callable[[Held, Held, bool], bool]] = {
    "slide": lambda old, new, same: 0 not in (old.fret, new.fret) and old.finger == new.finger,
    "hammer": lambda old, new, same: (
        new.fret > old.fret and (old.fret == 0 or (same and new.finger > old.finger))
    ),
    "pull": lambda old, new, same: (
        new.fret < old.fret and (new.fret == 0 or (same and new.finger < old.finger))
    ),
}
