"""Exact search: the cheapest path through the layers, what every other choice would cost, and the next best.

Forward sums are the cost of the cheapest path from the start up to and with a state, backward sums from just
after it to the end, so that their sum is the cost of the cheapest whole path through the state. (Sayegh,
Computer Music Journal 13(3) 1989, has the layered graph; the rest is Viterbi's algorithm.)
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Hashable, Iterator, Sequence
from functools import cached_property
from operator import add
from typing import Any

from tabtools.fingering.edges import Move
from tabtools.fingering.moves import IMPOSSIBLE, Moves, forget
from tabtools.fingering.states import Layer
from tabtools.record import NamedTuple

_REMEMBERED = 1000


class Step(NamedTuple):
    """A moment, and how it follows the one before; the first step has no move."""

    layer: Layer
    move: Move | None


class Solution:
    """What the search found. Costs are in thousandths of a small shift; indices are those of states."""

    def __init__(self, steps: Sequence[Step], moves: Moves) -> None:
        self.steps = steps
        self.moves = moves

    @cached_property
    def forward(self) -> list[list[int]]:
        """The forward sums."""
        return _forward(self.steps, self.moves)

    @cached_property
    def path(self) -> tuple[int, ...]:
        """The best path."""
        last = len(self.steps) - 1
        return self.path_through(last, _first_least(self.forward[-1])) if self.steps else ()

    @cached_property
    def backward(self) -> list[list[int]]:
        """The backward sums; who asks for the best path alone needs none."""
        return _backward(self.steps, self.moves)

    @property
    def cost(self) -> int:
        """The cost of the best path."""
        return min(self.forward[-1]) if self.steps else 0

    def through(self, step: int) -> list[int]:
        """For each state of a step, the cost of the cheapest whole path through it."""
        return list(map(add, self.forward[step], self.backward[step]))

    def best_by(self, step: int, label: Callable[[int], Hashable]) -> dict[Hashable, int]:
        """For each label of the step's states, the cost of the cheapest whole path that has it."""
        best: dict[Hashable, int] = {}
        for state, cost in enumerate(self.through(step)):
            name = label(state)
            if name not in best or cost < best[name]:
                best[name] = cost
        return best

    def paths(self) -> Iterator[tuple[int, tuple[int, ...]]]:
        """Whole paths with their costs, the cheapest first. The backward sums tell exactly what is left."""
        if not self.steps:
            return
        # A path is a chain of its last state and the chain before; the count makes equal costs ordered.
        queue: list[tuple[int, int, int, _Chain]] = [
            (cost + self.backward[0][state], state, 1, (state, None))
            for state, cost in enumerate(self.forward[0])
        ]
        heapq.heapify(queue)
        count = len(queue)
        while queue:
            total, _, number, chain = heapq.heappop(queue)
            if number == len(self.steps):
                yield total, _unchained(chain)
                continue
            spent = total - self.backward[number - 1][chain[0]]
            costs, backward = self.steps[number].layer.costs, self.backward[number]
            for state, move in self._onwards(number, chain[0]):
                count += 1
                left = move + costs[state] + backward[state]
                heapq.heappush(queue, (spent + left, count, number + 1, (state, chain)))

    def path_through(self, step: int, state: int) -> tuple[int, ...]:
        """The cheapest path through a state."""
        path = [state]
        for number in range(step, 0, -1):
            path.append(self._origin(number, path[-1]))
        path.reverse()
        for number in range(step + 1, len(self.steps)):
            after = self.steps[number].layer.costs
            left = self.backward[number]
            path.append(min((m + after[j] + left[j], j) for j, m in self._onwards(number, path[-1]))[1])
        return tuple(path)

    def others(self, label: Callable[[int, int], Hashable], count: int) -> list[tuple[int, tuple[int, ...]]]:
        """The best path and up to ``count`` - 1 more, with their costs.

        Each further one is the cheapest that has, at some step, a label that none before it has there.
        ``label`` gets a step and a state.
        """
        found = [(self.cost, self.path)] if self.steps else []
        used = {(step, label(step, state)) for step, state in enumerate(self.path)}
        rest = sorted(
            (cost, step, state)
            for step in range(len(self.steps))
            for state, cost in enumerate(self.through(step))
            if (step, label(step, state)) not in used
        )
        for cost, step, state in rest:
            if len(found) == count:
                break
            if (step, label(step, state)) not in used:
                path = self.path_through(step, state)
                used.update((at, label(at, chosen)) for at, chosen in enumerate(path))
                found.append((cost, path))
        return found[:count]

    def _onwards(self, number: int, i: int) -> Iterator[tuple[int, int]]:
        """The states of a step that can follow a state of the step before, and what the move costs."""
        move = move_of(self.steps[number])
        before, after = self.steps[number - 1].layer, self.steps[number].layer
        edge = self.moves.edge(before, after, move)
        shifts = self.moves.shifts(before.positions[i], before.idle[i], move)
        for j in edge.onwards.get(i, ()):
            yield j, shifts[after.positions[j]] + edge.cost(i, j)

    def _origin(self, number: int, j: int) -> int:
        """The first state of the step before that the best path to a state can come from."""
        move = move_of(self.steps[number])
        before, after = self.steps[number - 1].layer, self.steps[number].layer
        edge = self.moves.edge(before, after, move)
        sums = self.forward[number - 1]
        position = after.positions[j]
        pressed, idle = (self.moves.shifts(position, free, move) for free in (False, True))
        least = self.forward[number][j] - after.costs[j]
        reached = (
            (i, sums[i] + (idle if before.idle[i] else pressed)[before.positions[i]]) for i in edge.sources[j]
        )
        return next(i for i, total in reached if total <= least and total + edge.cost(i, j) == least)


_Chain = tuple[int, Any]


def _unchained(chain: _Chain | None) -> tuple[int, ...]:
    states = []
    while chain is not None:
        states.append(chain[0])
        chain = chain[1]
    return tuple(reversed(states))


def _first_least(sums: list[int]) -> int:
    return sums.index(min(sums))


def move_of(step: Step) -> Move:
    """The move into a step that is not the first."""
    assert step.move is not None, "only the first step has no move"
    return step.move


def _forward(steps: Sequence[Step], moves: Moves) -> list[list[int]]:
    sums: list[list[int]] = []
    known = _Known(_advance)
    for number, step in enumerate(steps):
        if not number:
            news = (sum(press.new for press in presses.values()) for presses in step.layer.presses)
            sums.append(list(map(add, step.layer.costs, news)))
            continue
        least = known.get(steps[number - 1].layer, step.layer, move_of(step), sums[-1], moves)
        sums.append(list(map(add, step.layer.costs, least)))
    return sums


class _Known:
    """What a function of two layers, their move and sums has found before.

    Only the differences of the sums count, so that a phrase that comes again is worked out once.
    """

    def __init__(self, find: Callable[[Layer, Layer, Move, list[int], Moves], list[int]]) -> None:
        self._find = find
        self._found: dict[Hashable, list[int]] = {}

    def get(self, before: Layer, after: Layer, move: Move, sums: list[int], moves: Moves) -> list[int]:
        least = min(sums)
        level = [value - least for value in sums]
        key = (before, after, move, tuple(level))
        known = self._found.get(key)
        if known is None:
            forget(self._found, _REMEMBERED)
            known = self._found[key] = self._find(before, after, move, level, moves)
        return [value + least for value in known]


def _advance(before: Layer, after: Layer, move: Move, sums: list[int], moves: Moves) -> list[int]:
    """For each state after, the least sum of a state before and the move from it.

    Moves cost nothing or more, so that only those states before can do better than the nearest one whose
    sum and shift alone are less than its sum, shift and move.
    """
    edge = moves.edge(before, after, move)
    found = [IMPOSSIBLE] * len(after.costs)
    cost, known, kinds, before_kinds = edge.cost, edge.known, after.kinds, before.kinds
    everything = sorted(zip(sums, range(len(sums)), before.positions, before.idle, strict=True))
    for position, sources, targets in edge.ways:
        if len(sources) == len(sums):
            order = everything
        else:
            order = sorted([(sums[i], i, before.positions[i], before.idle[i]) for i in sources])
        pressed, idle = moves.shifts(position, False, move), moves.shifts(position, True, move)
        least = IMPOSSIBLE
        for total, i, stands, free in order:
            if total >= least:
                break
            total += (idle if free else pressed)[stands]
            if total < least:
                least, nearest, row = total, i, known[stands == position][before_kinds[i]]
        if least == IMPOSSIBLE:
            continue
        for j in targets:
            found[j] = least + (row[kinds[j]] if kinds[j] in row else cost(nearest, j))
        worst = max([found[j] for j in targets])
        near = []
        for total, i, stands, free in order:
            if total >= worst:
                break
            total += (idle if free else pressed)[stands]
            if total < worst and i != nearest:
                near.append((total, i, known[stands == position][before_kinds[i]]))
        near.sort()
        for j in targets:
            best, kind = found[j], kinds[j]
            for total, i, row in near:
                if total >= best:
                    break
                total += row[kind] if kind in row else cost(i, j)
                if total < best:
                    best = total
            found[j] = best
    return found


def _backward(steps: Sequence[Step], moves: Moves) -> list[list[int]]:
    if not steps:
        return []
    sums = [[0] * len(steps[-1].layer.costs)]
    known = _Known(_retreat)
    for number in range(len(steps) - 1, 0, -1):
        after = list(map(add, sums[-1], steps[number].layer.costs))
        sums.append(
            known.get(steps[number - 1].layer, steps[number].layer, move_of(steps[number]), after, moves)
        )
    return sums[::-1]


def _retreat(before: Layer, after: Layer, move: Move, sums: list[int], moves: Moves) -> list[int]:
    """The same the other way: for each state before, the least sum of a move and where it leads."""
    edge = moves.edge(before, after, move)
    cost, known, kinds = edge.cost, edge.known, after.kinds
    anywhere: list[_Led] = []  # from every state before
    tied: dict[int, list[_Led]] = {}
    for position, sources, targets in edge.ways:
        order = sorted([(sums[j], j, kinds[j]) for j in targets])
        if len(sources) == len(before.costs):
            anywhere.append((order[0][0], position, order))
            continue
        for i in sources:
            tied.setdefault(i, []).append((order[0][0], position, order))
    leads: dict[tuple[int, bool], list[_Lead]] = {}
    found = []
    for i, stand in enumerate(zip(before.positions, before.idle, strict=True)):
        lead = leads.get(stand)
        if lead is None:
            lead = leads[stand] = _shifted(anywhere, *stand, move, moves)
        if i in tied:
            lead = sorted([*lead, *_shifted(tied[i], *stand, move, moves)])
        best, kind_before, position = IMPOSSIBLE, before.kinds[i], stand[0]
        for least, shift, there, order in lead:
            if least >= best:
                break
            row = known[there == position][kind_before]
            for total, j, kind in order:
                total += shift
                if total >= best:
                    break
                total += row[kind] if kind in row else cost(i, j)
                if total < best:
                    best = total
        found.append(best)
    return found


_Order = list[tuple[int, int, int]]  # sums, states and kinds of states after, in rising order
_Led = tuple[int, int, _Order]  # the least sum, and the position
_Lead = tuple[int, int, int, _Order]  # the least sum with the shift, the shift, and the position


def _shifted(leads: list[_Led], position: int, idle: bool, move: Move, moves: Moves) -> list[_Lead]:
    shifts = moves.shifts(position, idle, move)
    return sorted([(least + shifts[to], shifts[to], to, order) for least, to, order in leads])
