"""Where a part can be played in two ways: positions that are about as good, and ways that are much easier."""

from __future__ import annotations

from itertools import groupby
from operator import sub
from typing import NamedTuple

from tabtools.fingering.notes import At
from tabtools.fingering.plan import Plan, plan
from tabtools.fingering.weights import AMBIGUOUS, UNIT, VIOLATION
from tabtools.score import Score

_FEWEST = 4  # notes in a row; fewer are no matter of position
_APART = 2  # frets; a fret up or down is the same place with other fingers
EASIER = 3.0  # small shifts that a way must save [practice]
_SHARE = 0.5  # of what the written way costs [practice]


class TwoPositions(NamedTuple):
    """Notes that two positions suit about as well, with the fingers of both; ``margin`` in small shifts."""

    notes: tuple[At, ...]
    positions: tuple[int, int]
    fingers: tuple[tuple[int, ...], tuple[int, ...]]
    margin: float


class Easier(NamedTuple):
    """Notes with an easier way: where they would go, string and fret, and the costs in small shifts."""

    notes: tuple[At, ...]
    places: tuple[tuple[int, int], ...]
    written: float
    easier: float


def plans(score: Score, hand: str) -> tuple[Plan, ...]:
    """The plans of all parts as they are written."""
    return tuple(plan(part, hand=hand) for part in score.parts)


def two_positions(found: Plan) -> list[TwoPositions]:
    """Runs of notes that can be played in one of two positions at nearly the same cost.

    Positions that are a fret apart count as one.
    """
    numbers = [n for n in range(len(found.taken.places)) if found.number(found.taken.places[n]) is not None]
    flagged = [(number, _positions(found, number)) for number in numbers if found.held(number).finger]
    results = []
    for pair, run in groupby(flagged, key=lambda item: item[1] and item[1][:2]):
        notes = list(run)
        if pair and len(notes) >= _FEWEST:
            results.append(_two(found, [number for number, _ in notes], pair))
    return results


def _positions(found: Plan, number: int) -> tuple[int, int, float] | None:
    position = found.position(number)
    if not found.rivalled(number, _APART, AMBIGUOUS):
        return None
    choice = found.position_choice(number, _APART)
    if choice.margin >= AMBIGUOUS or not isinstance(choice.runner_up, int):
        return None
    return position, choice.runner_up, choice.margin


def _two(found: Plan, numbers: list[int], pair: tuple[int, int]) -> TwoPositions:
    other = found.through_position(numbers[0], pair[1])
    fingers = (
        tuple(found.held(n).finger for n in numbers),
        tuple(found.held(n, other).finger for n in numbers),
    )
    margin = min(found.position_choice(n, _APART).margin for n in numbers)
    return TwoPositions(tuple(found.taken.places[n] for n in numbers), pair, fingers, margin)


def easier_ways(found: Plan) -> list[Easier]:
    """Runs of written notes for which other strings and frets are much easier."""
    if found.solution.cost < EASIER * UNIT:  # nothing costs less than nothing
        return []
    free = found.freed()
    if not _may_save(found, free):
        return []
    differs = [_placed(found, step) != _placed(free, step) for step in range(len(found.moments))]
    results = []
    for other, run in groupby(range(len(differs)), key=differs.__getitem__):
        steps = list(run)
        if other:
            written, easier = (_spent(p, steps[0], steps[-1]) for p in (found, free))
            if written < VIOLATION and written - easier >= max(EASIER * UNIT, _SHARE * written):
                numbers = [n for step in steps for n in found.moments[step].struck]
                places = tuple(free.held(n)[:2] for n in numbers)
                at = tuple(found.taken.places[n] for n in numbers)
                results.append(Easier(at, places, written / UNIT, easier / UNIT))
    return results


def _may_save(found: Plan, free: Plan) -> bool:
    """Whether notes in a row could be that much easier in other places, if no move there cost anything.

    It spares most of the search on pages that are written well.
    """
    saved = 0
    for step, spent in enumerate(map(sub, sums := _sums(found), (0, *sums))):
        if saved + spent >= EASIER * UNIT:
            return True
        place = found.solution.steps[step].layer.places[found.solution.path[step]]
        elsewhere = free.solution.steps[step].layer
        costs = [
            cost for cost, other in zip(elsewhere.costs, elsewhere.places, strict=True) if other != place
        ]
        saved = max(0, saved + spent - min(costs)) if costs else 0
    return saved >= EASIER * UNIT


def _placed(found: Plan, step: int) -> list[tuple[int, int]]:
    return [found.held(number)[:2] for number in found.moments[step].struck]


def _spent(found: Plan, first: int, last: int) -> int:
    """What the steps cost, the moves into the first and out of the last included."""
    sums = _sums(found)
    return sums[min(last + 1, len(sums) - 1)] - (sums[first - 1] if first else 0)


def _sums(found: Plan) -> list[int]:
    """What the best path has cost up to and with each step."""
    return [costs[state] for costs, state in zip(found.solution.forward, found.solution.path, strict=True)]
