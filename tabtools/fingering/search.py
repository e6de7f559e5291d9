"""Exact search: the cheapest path through the layers, what every other choice would cost, and the next best.

Forward sums are the cost of the cheapest path from the start up to and with a state, backward sums from just
after it to the end, so that their sum is the cost of the cheapest whole path through the state. (Sayegh,
Computer Music Journal 13(3) 1989, has the layered graph; the rest is Viterbi's algorithm.)
"""

from __future__ import annotations

import heapq
from collections.abc import Callable, Hashable, Iterator, Sequence
from functools import cached_property
from itertools import pairwise
from operator import add
from typing import Any

from tabtools.fingering.edges import Move
from tabtools.fingering.links import Bounds, Table
from tabtools.fingering.moves import Moves, forget
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
    def _links(self) -> list[Table | Bounds]:
        """What leads from each step to the next."""
        return [
            self.moves.link(before.layer, after.layer, move_of(after))
            for before, after in pairwise(self.steps)
        ]

    @cached_property
    def forward(self) -> list[list[int]]:
        """The forward sums."""
        if not self.steps:
            return []
        layer = self.steps[0].layer
        news = (sum(press.new for press in presses.values()) for presses in layer.presses)
        sums = [list(map(add, layer.costs, news))]
        known = _Known(lambda link, before: link.advance(before))
        for link, step in zip(self._links, self.steps[1:], strict=True):
            sums.append(list(map(add, step.layer.costs, known.get(link, sums[-1]))))
        return sums

    @cached_property
    def path(self) -> tuple[int, ...]:
        """The best path."""
        last = len(self.steps) - 1
        return self.path_through(last, _first_least(self.forward[-1])) if self.steps else ()

    @cached_property
    def backward(self) -> list[list[int]]:
        """The backward sums; who asks for the best path alone needs none."""
        if not self.steps:
            return []
        sums = [[0] * len(self.steps[-1].layer.costs)]
        known = _Known(lambda link, after: link.retreat(after))
        for link, step in zip(reversed(self._links), self.steps[:0:-1], strict=True):
            sums.append(known.get(link, list(map(add, sums[-1], step.layer.costs))))
        return sums[::-1]

    @property
    def cost(self) -> int:
        """The cost of the best path."""
        return min(self.forward[-1]) if self.steps else 0

    def through(self, step: int) -> list[int]:
        """For each state of a step, the cost of the cheapest whole path through it."""
        return list(map(add, self.forward[step], self.backward[step]))

    def near(self, margin: int) -> list[dict[int, int]]:
        """For each step, the states on whole paths that cost less than ``margin`` more than the best, with
        the cost of the cheapest path through each: what `through` tells, where only these are asked for."""
        if not self.steps:
            return []
        limit = self.cost + margin
        ahead = {state: 0 for state, total in enumerate(self.forward[-1]) if total < limit}
        found = [{state: self.forward[-1][state] for state in ahead}]
        for number in range(len(self.steps) - 1, 0, -1):
            link, costs = self._links[number - 1], self.steps[number].layer.costs
            sums = self.forward[number - 1]
            behind: dict[int, int] = {}
            for state, rest in ahead.items():
                left = rest + costs[state]
                for i, move in link.into(state, sums, limit - left):
                    if i not in behind or move + left < behind[i]:
                        behind[i] = move + left
            found.append({i: sums[i] + left for i, left in behind.items()})
            ahead = behind
        return found[::-1]

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
            for state, move in self._links[number - 1].onwards(chain[0]):
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
            onwards = self._links[number - 1].onwards(path[-1])
            path.append(min((move + after[j] + left[j], j) for j, move in onwards)[1])
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

    def _origin(self, number: int, j: int) -> int:
        """The first state of the step before that the best path to a state can come from."""
        least = self.forward[number][j] - self.steps[number].layer.costs[j]
        return next(i for i, _ in self._links[number - 1].into(j, self.forward[number - 1], least + 1))


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


class _Known:
    """What links have made of sums before, one way or the other.

    Only the differences of the sums count, so that a phrase that comes again is worked out once; tables are
    asked as quickly as remembered.
    """

    def __init__(self, find: Callable[[Table | Bounds, list[int]], list[int]]) -> None:
        self._find = find
        self._found: dict[Hashable, list[int]] = {}

    def get(self, link: Table | Bounds, sums: list[int]) -> list[int]:
        if isinstance(link, Table):
            return self._find(link, sums)
        least = min(sums)
        level = [value - least for value in sums]
        key = (link, tuple(level))
        known = self._found.get(key)
        if known is None:
            forget(self._found, _REMEMBERED)
            known = self._found[key] = self._find(link, level)
        return [value + least for value in known]
