"""Columns against places: how far each column is off where a place belongs, and what that costs.

When the music of a bar is ``span`` columns wide, its ``length`` ticks long, tick t belongs at column
t * span / length. A writer with whole columns a step hits it exactly; one who stretches bars rounds.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from operator import mul

from tabtools.record import NamedTuple
from tabtools.score import TimeSignature
from tabtools.text.rhythm.metre import STRAIGHT, SWING, Level, beat_ticks, level_cost, places

SLIP_RATES = (0.004, 0.03, 0.1, 0.25)
_RATE_PRIORS = (0.0, 0.5, 1.0, 2.0)
_OFTEN = 0.1
# How a column meets a place: exactly, one or two columns off. Where the place lies between two columns:
# rounded down or up to the nearer one, a half up or down, to the farther one down or up, one or two more off.
EXACT, OFF_1, OFF_2, DOWN, UP, HALF_UP, HALF_DOWN, FAR_DOWN, FAR_UP, BETWEEN_1, BETWEEN_2 = range(11)
# How the columns around a place meet it, counted from the one at or left of it: where the place is at a
# column, nearer to the left one, half-way, and nearer to the right one. No others meet it.
_AT = ((-2, OFF_2), (-1, OFF_1), (0, EXACT), (1, OFF_1), (2, OFF_2))
_NEAR_LEFT = ((-2, BETWEEN_2), (-1, BETWEEN_1), (0, DOWN), (1, FAR_UP), (2, BETWEEN_2))
_HALF_WAY = (
    (-2, BETWEEN_2),
    (-1, BETWEEN_1),
    (0, HALF_DOWN),
    (1, HALF_UP),
    (2, BETWEEN_1),
    (3, BETWEEN_2),
)
_NEAR_RIGHT = ((-1, BETWEEN_2), (0, FAR_DOWN), (1, UP), (2, BETWEEN_1), (3, BETWEEN_2))
IMPOSSIBLE = 12.0
_PRUNED = 4e-4
_HALF_ROUNDING, _ODD_ROUNDING = 2.0, 2.5
EIGHTHS, SIXTEENTHS, THIRTY_SECONDS = range(3)
GRID, STRETCHED, CUT_OFF = range(3)


class Setting(NamedTuple):
    """How a page is written, as far as it bears on single onsets: the finest values that it has, its style,
    whether columns are whole a step, or stretched and rounded or cut off, and how often they slip (an index
    of rates)."""

    finest: int
    style: int
    law: int
    rate: int

    @property
    def prior(self) -> float:
        """The cost of the setting itself, in nats."""
        return (
            (0.0, 0.5, 5.0)[self.finest]
            + (0.0, 3.0, 3.5)[self.style]
            + (0.0, 7.0, 8.0)[self.law]
            + _RATE_PRIORS[self.rate]
        )


Signature = tuple[tuple[int, int], ...]
# A place, its level, and how a column meets it.
Meeting = tuple[int, int, int]


class Costs:
    """What a meeting of level and kind costs, and the least of columns' meetings."""

    def __init__(self, costs: list[list[float]]) -> None:
        self.costs = costs
        self._least = _Least(self.costs)

    def total(self, columns: Mapping[Signature, float]) -> float:
        """The cheapest reading of columns, each as often as is said, whatever their neighbours."""
        total: float = sum(map(mul, map(self._least.__getitem__, columns), columns.values()))
        return total


class _Least(dict[Signature, float]):
    """The least cost of a column's meetings, worked out once."""

    def __init__(self, costs: list[list[float]]) -> None:
        super().__init__()
        self._costs = costs

    def __missing__(self, signature: Signature) -> float:
        costs = [self._costs[level][kind] for level, kind in signature]
        found = self[signature] = min(*costs, IMPOSSIBLE) if costs else IMPOSSIBLE
        return found


@lru_cache(maxsize=16)
def _level_costs(finest: int, style: int) -> tuple[float, ...]:
    costs = [level_cost(level) for level in Level]
    if finest == EIGHTHS:
        costs[Level.QUARTER] += 5.0
        costs[Level.EIGHTH] += 5.0
    elif finest == SIXTEENTHS:
        costs[Level.EIGHTH] += 3.0
    if style == STRAIGHT:
        costs[Level.THIRD] += 5.0
        costs[Level.SIXTH] += 5.0
    elif style == SWING:
        costs[Level.HALF] += 1.5
        costs[Level.QUARTER] += 1.5
    return tuple(costs)


def _twice(slip: float) -> float:
    """The share of notes that are two columns off: hardly any where few are one off."""
    return 0.06 * slip if slip >= _OFTEN else 0.24 * slip * slip


@lru_cache(maxsize=16)
def _meeting_costs(law: int, rate: int) -> tuple[float, ...]:
    slip = SLIP_RATES[rate]
    none, one, two = -math.log(1 - slip), -math.log(0.44 * slip), -math.log(_twice(slip))
    if law == CUT_OFF:
        rounding = [none, _ODD_ROUNDING, _ODD_ROUNDING, none, none, one]
    elif law == STRETCHED:
        rounding = [none, none, none, _HALF_ROUNDING, _ODD_ROUNDING, _ODD_ROUNDING]
    else:
        rounding = [none, none, none, _HALF_ROUNDING, one, one]
    between = 4.5 if law == GRID else 1.0
    return (none, one, two, *(between + min(cost, one) for cost in rounding), between + one, between + two)


@lru_cache(maxsize=256)
def costs_of(setting: Setting) -> Costs:
    """The one table of costs of a setting."""
    return _table(_level_costs(setting.finest, setting.style), _meeting_costs(setting.law, setting.rate))


@lru_cache(maxsize=16)
def cheapest_of(settings: tuple[Setting, ...]) -> Costs:
    """The least that each meeting costs under any setting that combines what some settings have."""
    levels = {_level_costs(setting.finest, setting.style) for setting in settings}
    kinds = {_meeting_costs(setting.law, setting.rate) for setting in settings}
    return _table(_least_of(levels), _least_of(kinds))


def _table(levels: Sequence[float], kinds: Sequence[float]) -> Costs:
    return Costs([[level + kind for kind in kinds] for level in levels])


def _least_of(costs: Iterable[Sequence[float]]) -> list[float]:
    return [min(each) for each in zip(*costs, strict=True)]


class Ruler:
    """Where the places of one kind of bar belong, ``length`` ticks from tick ``start`` of its metre on;
    columns count from where the music begins. ``apart`` of them stand before each beat but the first beyond
    what time takes."""

    __slots__ = ("_leasts", "_meetings", "_signatures", "_weights", "length", "start")

    def __init__(self, time: TimeSignature, start: int, length: int, span: int, apart: int) -> None:
        self.start, self.length = start, length
        music = span - beats_apart(time, length, apart)
        before = start // beat_ticks(time)
        self._meetings: dict[int, list[Meeting]] = {}
        for number, place in enumerate(places(time)):
            tick = place.tick - start
            if 0 <= tick < length:
                # Where the place belongs: the column at or left of it, and columns times ticks from there.
                column, rest = divmod(tick * music, length)
                column += apart * (place.beat - before)
                for more, kind in _around(2 * rest, length):
                    self._meetings.setdefault(column + more, []).append((number, int(place.level), kind))
        self._signatures: dict[int, Signature] = {}
        self._leasts: dict[Costs, _LeastAt] = {}
        self._weights: dict[tuple[int, Setting], tuple[tuple[tuple[int, float], ...], float]] = {}

    def meetings(self, column: int) -> Sequence[Meeting]:
        """(place, level, kind) of every place near a column."""
        return self._meetings.get(column, ())

    def signature(self, column: int) -> Signature:
        """The levels and kinds that a column may be, for looking up its least cost."""
        found = self._signatures.get(column)
        if found is None:
            found = tuple(sorted({(level, kind) for _, level, kind in self.meetings(column)}))
            self._signatures[column] = found
        return found

    def least(self, costs: Costs) -> Mapping[int, float]:
        """What the cheapest meeting of a column costs, by column; filled as asked for."""
        found = self._leasts.get(costs)
        if found is None:
            found = self._leasts[costs] = _LeastAt(self, costs)
        return found

    def weights(self, column: int, setting: Setting) -> tuple[tuple[tuple[int, float], ...], float]:
        """The places that a column may be with their weights, the heaviest 1, and its cost in nats."""
        found = self._weights.get((column, setting))
        if found is None:
            found = self._weigh(column, setting)
            self._weights[column, setting] = found
        return found

    def _weigh(self, column: int, setting: Setting) -> tuple[tuple[tuple[int, float], ...], float]:
        costs = costs_of(setting).costs
        paid = [(index, costs[level][kind]) for index, level, kind in self.meetings(column)]
        least = min((cost for _, cost in paid), default=IMPOSSIBLE)
        weights = [(index, math.exp(least - cost)) for index, cost in paid]
        return tuple((index, weight) for index, weight in weights if weight > _PRUNED), least


def _around(twice: int, unit: int) -> tuple[tuple[int, int], ...]:
    """The columns around a place that is half of ``twice`` / ``unit`` columns right of one."""
    if twice == 0:
        return _AT
    if twice == unit:
        return _HALF_WAY
    return _NEAR_LEFT if twice < unit else _NEAR_RIGHT


class _LeastAt(dict[int, float]):
    """The least cost of columns on a ruler, each worked out once."""

    def __init__(self, ruler: Ruler, costs: Costs) -> None:
        super().__init__()
        self._ruler, self._costs = ruler, costs.costs

    def __missing__(self, column: int) -> float:
        costs = [self._costs[level][kind] for _, level, kind in self._ruler.meetings(column)]
        found = self[column] = min(*costs, IMPOSSIBLE) if costs else IMPOSSIBLE
        return found


def beats_apart(time: TimeSignature, length: int, apart: int) -> int:
    """The columns in a bar that only set its beats apart."""
    return apart and apart * (-(-length // beat_ticks(time)) - 1)


@lru_cache(maxsize=4096)
def ruler(time: TimeSignature, start: int, length: int, span: int, apart: int = 0) -> Ruler:
    """The one ruler of a kind of bar."""
    return Ruler(time, start, length, span, apart)
