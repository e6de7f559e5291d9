"""Exact search: the cheapest path through the layers, what every other choice would cost, and the next best.

Forward sums are the cost of the cheapest path from the start up to and with a state, backward sums from just
after it to the end, so that their sum is the cost of the cheapest whole path through the state. (Sayegh,
Computer Music Journal 13(3) 1989, has the layered graph; the rest is Viterbi's algorithm.)
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Hashable, Iterator, Sequence
from itertools import islice
from operator import add
from typing import NamedTuple

from tabtools.fingering.moves import Move, Moves
from tabtools.fingering.states import Layer


class Step(NamedTuple):
    """A moment, and how it follows the one before; the first step has no move."""

    layer: Layer
    move: Move | None


class Solution:
    """What the search found. Costs are in thousandths of a small shift; indices are those of states."""

    def __init__(self, steps: Sequence[Step], moves: Moves) -> None:
        self.steps = steps
        self.moves = moves
        self.forward = _forward(steps, moves)
        self.backward = _backward(steps, moves)
        self.path = self._path()

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
        first = self.steps[0].layer.costs
        queue: list[tuple[int, tuple[int, ...]]] = [
            (cost + self.backward[0][state], (state,)) for state, cost in enumerate(first)
        ]
        heapq.heapify(queue)
        while queue:
            total, path = heapq.heappop(queue)
            number = len(path)
            if number == len(self.steps):
                yield total, path
                continue
            _, out = _rows(self.steps, number, self.moves)
            spent = total - self.backward[number - 1][path[-1]]
            after = map(add, out[path[-1]], map(add, self.steps[number].layer.costs, self.backward[number]))
            for state, left in enumerate(after):
                heapq.heappush(queue, (spent + left, (*path, state)))

    def _path(self) -> tuple[int, ...]:
        """The best path; among equals the one whose states come first, seen from the end."""
        if not self.steps:
            return ()
        last = self.forward[-1]
        path = [last.index(min(last))]
        for number in range(len(self.steps) - 1, 0, -1):
            into, _ = _rows(self.steps, number, self.moves)
            sums = list(map(add, self.forward[number - 1], into[path[-1]]))
            path.append(sums.index(min(sums)))
        return tuple(reversed(path))


def _rows(steps: Sequence[Step], number: int, moves: Moves) -> tuple[list[list[int]], list[list[int]]]:
    move = steps[number].move
    assert move is not None, "only the first step has no move"
    return moves.rows(steps[number - 1].layer, steps[number].layer, move)


def _forward(steps: Sequence[Step], moves: Moves) -> list[list[int]]:
    sums: list[list[int]] = []
    for number, step in enumerate(steps):
        if not number:
            sums.append(list(step.layer.costs))
            continue
        into, _ = _rows(steps, number, moves)
        before = sums[-1]
        sums.append([c + min(map(add, before, row)) for c, row in zip(step.layer.costs, into, strict=True)])
    return sums


def _backward(steps: Sequence[Step], moves: Moves) -> list[list[int]]:
    if not steps:
        return []
    sums = [[0] * len(steps[-1].layer.costs)]
    for number in range(len(steps) - 1, 0, -1):
        _, out = _rows(steps, number, moves)
        after = list(map(add, sums[-1], steps[number].layer.costs))
        sums.append([min(map(add, after, row)) for row in out])
    return sums[::-1]


def distinct(
    solution: Solution, label: Callable[[tuple[int, ...]], Hashable], count: int, tries: int = 2000
) -> list[tuple[int, tuple[int, ...]]]:
    """The cheapest path of each of ``count`` labels, among the ``tries`` cheapest paths."""
    found: dict[Hashable, tuple[int, tuple[int, ...]]] = {}
    for total, path in islice(solution.paths(), tries):
        found.setdefault(label(path), (total, path))
        if len(found) == count:
            break
    return list(found.values())
