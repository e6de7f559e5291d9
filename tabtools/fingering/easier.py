"""Runs of written notes that other strings and frets would make much easier.

Such a run lies between two moves of the hand, and some position elsewhere holds all of it that is nearer
to what comes before and after. Where there is none, nothing is searched; where there is one, the notes of the
run are set free, and all others keep their written places.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache
from itertools import groupby

from tabtools.fingering.moments import Layers
from tabtools.fingering.neck import Place
from tabtools.fingering.plan import Plan
from tabtools.fingering.states import Want, possible
from tabtools.fingering.weights import IMPOSSIBLE, UNIT, VIOLATION
from tabtools.record import NamedTuple
from tabtools.timeline import NoteIndex

EASIER = 3.0  # small shifts that a way must save [practice]
_SHARE = 0.5  # of what the written way costs [practice]
_STAYS = 3  # places in a row that the hand moves through, and need not


class Easier(NamedTuple):
    """Notes with an easier way: where they would go, string and fret, and the costs in small shifts."""

    notes: tuple[NoteIndex, ...]
    places: tuple[Place, ...]
    written: float
    easier: float


class _Run(NamedTuple):
    """Steps by their numbers, the last one included, and what they cost with the moves in and out."""

    first: int
    last: int
    written: int


def easier_ways(found: Plan) -> list[Easier]:
    """Runs of notes for which other strings and frets are much easier, all else left as it is written.

    ``found`` is the plan of the written strings and frets.
    """
    spent = _Spent(found)
    runs = [run for run in _runs(found, spent) if _is_much(run.written, 0)]
    if not runs:
        return []
    elsewhere = _Elsewhere(found)
    hopeful = [
        run
        for run in runs
        if _is_much(run.written, elsewhere.bound(run)) and _is_much(run.written, elsewhere.least(run))
    ]
    steps = sorted({step for run in hopeful for step in range(run.first, run.last + 1)})
    if not steps:
        return []
    free = found.freed(steps)
    return list(_easier(found, free, spent))


def _is_much(written: int, easier: int) -> bool:
    """Whether a way is much easier than the written one; what breaks a limit is for other rules."""
    return easier + max(EASIER * UNIT, _SHARE * written) <= written < VIOLATION


class _Spent:
    """What the best path of a plan has cost up to each step."""

    def __init__(self, found: Plan) -> None:
        solution = found.solution
        paid = [costs[state] for costs, state in zip(solution.forward, solution.path, strict=True)]
        self._sums = [0, *paid]

    def on(self, first: int, last: int) -> int:
        """What some steps cost, the moves into the first and out of the last included."""
        return self._sums[min(last + 2, len(self._sums) - 1)] - self._sums[first]


def _runs(found: Plan, spent: _Spent) -> Iterator[_Run]:
    """The runs of steps between two moves of the hand."""
    positions = [_stand(found, step)[0] for step in range(len(found.moments))]
    moved = [step for step in range(1, len(positions)) if positions[step] != positions[step - 1]]
    starts = [0, *moved, len(positions)]
    for at, first in enumerate(starts[:-1]):
        for end in starts[at + 1 : at + 1 + _STAYS]:
            yield _Run(first, end - 1, spent.on(first, end - 1))


def _stand(found: Plan, step: int) -> tuple[int, bool]:
    """The hand's position at a step, and whether it holds nothing."""
    layer, state = found.solution.steps[step].layer, found.solution.path[step]
    return layer.positions[state], layer.idle[state]


def _placed(found: Plan, step: int) -> tuple[Place, ...]:
    return found.solution.steps[step].layer.places[found.solution.path[step]]


class _Elsewhere:
    """What runs of steps cost in other than their written places."""

    def __init__(self, found: Plan) -> None:
        self._found = found
        self._everywhere = found.freed(range(len(found.moments)))
        self._anywhere = dict.fromkeys(range(len(found.neck.along)), 0)
        self._costs: dict[tuple[int, int, bool], dict[int, int]] = {}

    def bound(self, run: _Run) -> int:
        """No more than the least, and told quickly: what several notes together cost is left out."""
        return self._least(run, rough=True)

    def least(self, run: _Run) -> int:
        """The least that a run can cost in one position elsewhere, the ways there and on included."""
        return self._least(run, rough=False)

    def _least(self, run: _Run, *, rough: bool) -> int:
        costs = self._in_one_place(run.first, run.last, rough)
        if not costs:
            return VIOLATION
        there = back = [0] * len(self._anywhere)
        if run.first:
            there = self._shifts(run.first, *_stand(self._found, run.first - 1))
        if run.last + 1 < len(self._found.moments):
            position, _ = _stand(self._found, run.last + 1)
            back = self._shifts(run.last + 1, position, False)
        return min([cost + there[p] + back[p] for p, cost in costs.items()])

    def _shifts(self, step: int, position: int, idle: bool) -> list[int]:
        return self._everywhere.layers.moves.shifts(position, idle, self._everywhere.move(step))

    def _in_one_place(self, first: int, last: int, rough: bool) -> dict[int, int]:
        """What steps cost by the position that the hand keeps from the first to the last."""
        costs = self._costs.get((first, last, rough))
        if costs is not None:
            return costs
        reached = last
        while reached > first and (first, reached, rough) not in self._costs:
            reached -= 1
        costs = self._costs.setdefault((first, reached, rough), self._at(first, rough))
        for step in range(reached + 1, last + 1):
            more = self._costs.setdefault((step, step, rough), self._at(step, rough))
            costs = {p: cost + more[p] for p, cost in costs.items() if p in more}
            self._costs[first, step, rough] = costs
        return costs

    def _at(self, step: int, rough: bool) -> dict[int, int]:
        moment = self._everywhere.moments[step]
        if rough and len(moment.notes) > 1:
            return self._anywhere
        wants = moment.wants(self._everywhere.taken.sounded)
        return _elsewhere(self._everywhere.layers, wants, len(moment.struck), _placed(self._found, step))


@lru_cache(maxsize=1000)
def _elsewhere(
    layers: Layers, wants: tuple[Want, ...], struck: int, written: tuple[Place, ...]
) -> dict[int, int]:
    """The least cost of a moment in other than its written places, by position."""
    best: dict[int, int] = {}
    for position, shape, cost in possible(layers.neck, layers.weights, wants, struck):
        if cost < best.get(position, IMPOSSIBLE) and tuple([h[:2] for h in shape[:struck] if h]) != written:
            best[position] = cost
    return best


def _easier(found: Plan, free: Plan, spent: _Spent) -> Iterator[Easier]:
    """The runs that are placed otherwise in a plan in which they may be, and are much easier there."""
    freely = _Spent(free)
    steps = range(len(found.moments))
    for other, group in groupby(steps, lambda step: _placed(found, step) != _placed(free, step)):
        run = list(group)
        written, easier = (each.on(run[0], run[-1]) for each in (spent, freely))
        if other and _is_much(written, easier):
            numbers = [n for step in run for n in found.moments[step].struck]
            places = tuple(free.held(n)[:2] for n in numbers)
            at = tuple(found.taken.places[n] for n in numbers)
            yield Easier(at, places, written / UNIT, easier / UNIT)
