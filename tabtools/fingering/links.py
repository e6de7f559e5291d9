"""How the sums of the cheapest paths go on from one layer to the next, and back.

Between two small layers every cost is written out. Between large ones most are never worked out: moves cost
nothing or more, so that few states can do better than the nearest one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from functools import cached_property
from operator import add

from tabtools.fingering.edges import Edge
from tabtools.fingering.states import Layer
from tabtools.fingering.weights import IMPOSSIBLE

_FEW_KINDS = 40  # pairs of kinds whose costs are worth working out beforehand
_FEW_STATES = 400  # pairs of states that are written out

Shifts = Callable[[int, bool], list[int]]  # what a shift costs by where it goes; see `moves.Moves.shifts`


def link(edge: Edge, shifts: Shifts) -> Table | Bounds:
    """What leads from the layer before an edge to the one after it."""
    before, after = edge.before, edge.after
    kinds = len(before.firsts) * len(after.firsts)
    if kinds <= _FEW_KINDS and len(before.costs) * len(after.costs) <= _FEW_STATES:
        return Table(edge, shifts)
    return Bounds(edge, shifts)


class Table:
    """Every move between two small layers with its cost, the shift included."""

    def __init__(self, edge: Edge, shifts: Shifts) -> None:
        self._rows = _rows(edge, shifts)  # by state after, then by state before

    @cached_property
    def _columns(self) -> list[tuple[int, ...]]:
        return list(zip(*self._rows, strict=True))

    def advance(self, sums: list[int]) -> list[int]:
        """For each state after, the least sum of a state before and the move from it."""
        return [min(map(add, sums, row)) for row in self._rows]

    def retreat(self, sums: list[int]) -> list[int]:
        """The same the other way: for each state before, the least sum of a move and where it leads."""
        return [min(map(add, sums, column)) for column in self._columns]

    def into(self, j: int, sums: list[int], limit: int) -> Iterable[tuple[int, int]]:
        """The states before from which a state after is reached with a sum below a limit, in rising order,
        and what the moves cost."""
        row = self._rows[j]
        return [
            (i, move) for i, (total, move) in enumerate(zip(sums, row, strict=True)) if total + move < limit
        ]

    def onwards(self, i: int) -> Iterable[tuple[int, int]]:
        """The states after that can follow a state before, in rising order, and what the moves cost."""
        return [(j, move) for j, move in enumerate(self._columns[i]) if move < IMPOSSIBLE]


def _rows(edge: Edge, shifts: Shifts) -> list[list[int]]:
    before, kinds = edge.before, edge.after.kinds
    apart = [
        [costs[kind] for kind in before.kinds]
        for costs in map(edge.changes.apart, range(len(edge.after.firsts)))
    ]
    stands = list(enumerate(before.positions))
    rows: list[list[int]] = [[]] * len(kinds)
    for position, sources, targets in edge.ways:
        ways = _ways(before, position, shifts)
        staying = [i for i, stand in stands if stand == position] if position in before.positions else ()
        for j in targets:
            row = list(map(add, ways, apart[kinds[j]]))
            for i in staying:
                row[i] = edge.cost(i, j)
            if len(sources) < len(row):
                kept = set(sources)
                row = [cost if i in kept else IMPOSSIBLE for i, cost in enumerate(row)]
            rows[j] = row
    return rows


def _ways(before: Layer, position: int, shifts: Shifts) -> list[int]:
    """What a shift to a position costs from each state."""
    pressed = shifts(position, False)
    if not any(before.idle):
        return [pressed[stand] for stand in before.positions]
    idle = shifts(position, True)
    return [
        (idle if free else pressed)[stand] for stand, free in zip(before.positions, before.idle, strict=True)
    ]


class Bounds:
    """The moves between two layers, of which only those are worked out that may be the cheapest."""

    def __init__(self, edge: Edge, shifts: Shifts) -> None:
        self._edge = edge
        self._shifts = shifts

    def advance(self, sums: list[int]) -> list[int]:
        """See `Table`. Only those states before can do better than the nearest one whose sum and shift alone
        are less than its sum, shift and move."""
        edge = self._edge
        before, after = edge.before, edge.after
        found = [IMPOSSIBLE] * len(after.costs)
        cost, known, kinds, before_kinds = edge.cost, edge.changes.known, after.kinds, before.kinds
        everything = sorted(zip(sums, range(len(sums)), before.positions, before.idle, strict=True))
        for position, sources, targets in edge.ways:
            if len(sources) == len(sums):
                order = everything
            else:
                order = sorted([(sums[i], i, before.positions[i], before.idle[i]) for i in sources])
            pressed, idle = self._shifts(position, False), self._shifts(position, True)
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

    def retreat(self, sums: list[int]) -> list[int]:
        """See `Table`."""
        edge = self._edge
        before, kinds = edge.before, edge.after.kinds
        cost, known = edge.cost, edge.changes.known
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
                lead = leads[stand] = self._shifted(anywhere, *stand)
            if i in tied:
                lead = sorted([*lead, *self._shifted(tied[i], *stand)])
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

    def into(self, j: int, sums: list[int], limit: int) -> Iterator[tuple[int, int]]:
        """See `Table`."""
        edge = self._edge
        before, position = edge.before, edge.after.positions[j]
        pressed, idle = self._shifts(position, False), self._shifts(position, True)
        for i in edge.sources[j]:
            shift = (idle if before.idle[i] else pressed)[before.positions[i]]
            if sums[i] + shift < limit:
                move = shift + edge.cost(i, j)
                if sums[i] + move < limit:
                    yield i, move

    def onwards(self, i: int) -> Iterator[tuple[int, int]]:
        """See `Table`."""
        edge = self._edge
        before, after = edge.before, edge.after
        shifts = self._shifts(before.positions[i], before.idle[i])
        for j in edge.onwards.get(i, ()):
            yield j, shifts[after.positions[j]] + edge.cost(i, j)

    def _shifted(self, leads: list[_Led], position: int, idle: bool) -> list[_Lead]:
        shifts = self._shifts(position, idle)
        return sorted([(least + shifts[to], shifts[to], to, order) for least, to, order in leads])


_Order = list[tuple[int, int, int]]  # sums, states and kinds of states after, in rising order
_Led = tuple[int, int, _Order]  # the least sum, and the position
_Lead = tuple[int, int, int, _Order]  # the least sum with the shift, the shift, and the position
