"""Columns against places: how far each column is off where a place belongs, and what that costs.

When the music of a bar is ``span`` columns wide, its ``length`` ticks long, tick t belongs at column
t * span / length. A writer with whole columns a step hits it exactly; one who stretches bars rounds.
"""

from __future__ import annotations

import math
from bisect import bisect_left, bisect_right
from collections.abc import Mapping
from functools import lru_cache
from operator import mul

from tabtools.record import NamedTuple
from tabtools.score import TimeSignature
from tabtools.text.rhythm.metre import STRAIGHT, SWING, Level, beat_ticks, level_cost, places

SLIP_RATES = (0.004, 0.03, 0.1, 0.25)
_RATE_PRIORS = (0.0, 0.5, 1.0, 2.0)
_FAR = 2
_OFTEN = 0.1
# How a column meets a place: exactly, one or two columns off. Where the place lies between two columns:
# rounded down or up to the nearer one, a half up or down, to the farther one down or up, one or two more off.
EXACT, OFF_1, OFF_2, DOWN, UP, HALF_UP, HALF_DOWN, FAR_DOWN, FAR_UP, BETWEEN_1, BETWEEN_2 = range(11)
_IMPOSSIBLE = 12.0
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
        found = self[signature] = min(*costs, _IMPOSSIBLE) if costs else _IMPOSSIBLE
        return found


def _level_costs(setting: Setting) -> list[float]:
    costs = [level_cost(level) for level in Level]
    if setting.finest == EIGHTHS:
        costs[Level.QUARTER] += 5.0
        costs[Level.EIGHTH] += 5.0
    elif setting.finest == SIXTEENTHS:
        costs[Level.EIGHTH] += 3.0
    if setting.style == STRAIGHT:
        costs[Level.THIRD] += 5.0
        costs[Level.SIXTH] += 5.0
    elif setting.style == SWING:
        costs[Level.HALF] += 1.5
        costs[Level.QUARTER] += 1.5
    return costs


def _twice(slip: float) -> float:
    """The share of notes that are two columns off: hardly any where few are one off."""
    return 0.06 * slip if slip >= _OFTEN else 0.24 * slip * slip


def _meeting_costs(setting: Setting) -> list[float]:
    slip = SLIP_RATES[setting.rate]
    none, one, two = -math.log(1 - slip), -math.log(0.44 * slip), -math.log(_twice(slip))
    if setting.law == CUT_OFF:
        rounding = [none, _ODD_ROUNDING, _ODD_ROUNDING, none, none, one]
    elif setting.law == STRETCHED:
        rounding = [none, none, none, _HALF_ROUNDING, _ODD_ROUNDING, _ODD_ROUNDING]
    else:
        rounding = [none, none, none, _HALF_ROUNDING, one, one]
    between = 4.5 if setting.law == GRID else 1.0
    return [none, one, two, *(between + min(cost, one) for cost in rounding), between + one, between + two]


@lru_cache(maxsize=256)
def costs_of(setting: Setting) -> Costs:
    """The one table of costs of a setting."""
    meeting = _meeting_costs(setting)
    return Costs([[level + kind for kind in meeting] for level in _level_costs(setting)])


@lru_cache(maxsize=8)
def cheapest_of(settings: tuple[Setting, ...]) -> Costs:
    """The least that each meeting costs under any of some settings."""
    tables = [costs_of(setting).costs for setting in settings]
    return Costs(
        [[min(kinds) for kinds in zip(*levels, strict=True)] for levels in zip(*tables, strict=True)]
    )


class Ruler:
    """Where the places of one kind of bar belong, ``length`` ticks from tick ``start`` of its metre on;
    columns count from where the music begins. ``apart`` of them stand before each beat but the first beyond
    what time takes."""

    __slots__ = ("_exact", "_meetings", "_places", "_signatures", "_weights", "length", "start")

    def __init__(self, time: TimeSignature, start: int, length: int, span: int, apart: int) -> None:
        self.start, self.length = start, length
        music = span - beats_apart(time, length, apart)
        before = start // beat_ticks(time)
        inside = [(at, p) for at, p in enumerate(places(time)) if 0 <= p.tick - start < length]
        self._places = [(at, int(place.level)) for at, place in inside]
        # Where the places belong, in columns times the bar's ticks.
        self._exact = [(p.tick - start) * music + apart * (p.beat - before) * length for _, p in inside]
        self._meetings: dict[int, tuple[tuple[int, int, int], ...]] = {}
        self._signatures: dict[int, Signature] = {}
        self._weights: dict[tuple[int, Setting], tuple[tuple[tuple[int, float], ...], float]] = {}

    def meetings(self, column: int) -> tuple[tuple[int, int, int], ...]:
        """(place, level, kind) of every place near a column."""
        found = self._meetings.get(column)
        if found is None:
            found = tuple(self._near(column))
            self._meetings[column] = found
        return found

    def _near(self, column: int) -> list[tuple[int, int, int]]:
        near = []
        at = column * self.length
        reach = 3 * self.length
        for number in range(bisect_right(self._exact, at - reach), bisect_left(self._exact, at + reach)):
            exact = self._exact[number]
            kind = _kind(at - exact, self.length, exact)
            if kind is not None:
                near.append((*self._places[number], kind))
        return near

    def signature(self, column: int) -> Signature:
        """The levels and kinds that a column may be, for looking up its least cost."""
        found = self._signatures.get(column)
        if found is None:
            found = tuple(sorted({(level, kind) for _, level, kind in self.meetings(column)}))
            self._signatures[column] = found
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
        least = min((cost for _, cost in paid), default=_IMPOSSIBLE)
        weights = [(index, math.exp(least - cost)) for index, cost in paid]
        return tuple((index, weight) for index, weight in weights if weight > _PRUNED), least


def _kind(off: int, unit: int, exact: int) -> int | None:
    """How a column that is ``off`` / ``unit`` columns right of its place meets it; None for too far off."""
    away = abs(off)
    if exact % unit == 0:
        columns = away // unit
        return (EXACT, OFF_1, OFF_2)[columns] if columns <= _FAR else None
    if 2 * away < unit:
        return UP if off > 0 else DOWN
    if 2 * away == unit:
        return HALF_UP if off > 0 else HALF_DOWN
    if away < unit:
        return FAR_UP if off > 0 else FAR_DOWN
    if 2 * away <= 3 * unit:
        return BETWEEN_1
    return BETWEEN_2 if 2 * away <= 5 * unit else None


def beats_apart(time: TimeSignature, length: int, apart: int) -> int:
    """The columns in a bar that only set its beats apart."""
    return apart * (-(-length // beat_ticks(time)) - 1)


@lru_cache(maxsize=4096)
def ruler(time: TimeSignature, start: int, length: int, span: int, apart: int = 0) -> Ruler:
    """The one ruler of a kind of bar."""
    return Ruler(time, start, length, span, apart)
