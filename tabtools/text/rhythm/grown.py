"""Gaps that grow with every doubling of a note's length: not in proportion, but telling."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

from tabtools.score import TimeSignature
from tabtools.text.rhythm.align import Lattice, Weighed
from tabtools.text.rhythm.columns import EXACT, GRID, SIXTEENTHS, Setting, costs_of
from tabtools.text.rhythm.habit import CELLS, DIGITS, KEEP, Growth, Habit, Pattern, pattern
from tabtools.text.rhythm.metre import STRAIGHT, TRIPLETS, Moves, moves, places, values
from tabtools.text.rhythm.records import BarColumns
from tabtools.text.rhythm.timing import gaps
from tabtools.theory.duration import is_compound

# A growth of one column swallows slips.
_DOUBLINGS = (1.5, 2.0, 3.0)
_SHORTEST = (6, 8, 12, 24)
_TRAILS = (0, 1)
_LEAST, _WIDEST = 2, 6
# As many different gaps show how they grow.
_KINDS = 3
# How many different bars are asked whether they add up under a law, and how many of them must.
_ASKED, _ADD_UP = 12, 0.75
_MOST = 3
_SETTING = Setting(SIXTEENTHS, STRAIGHT, GRID, 0)
# What a gap costs, in nats, that is a column off; and a bar that begins late, where nothing says how far.
_OFF, _LATE = 6.0, 2.0


def growths(bars: Sequence[BarColumns]) -> list[Habit]:
    """The laws of growth under which most bars add up to what their metre holds, likeliest first."""
    found: list[tuple[float, int, Habit]] = []
    seen: list[list[Pattern]] = []
    for push in (KEEP, DIGITS, CELLS):
        patterns = list(dict.fromkeys(pattern(bar, push) for bar in bars))[:_ASKED]
        if patterns in seen or not any(len(one.columns) > 1 for one in patterns):
            continue
        seen.append(patterns)
        pad = min(one.columns[0] for one in patterns)
        full = [one for one in patterns if one.columns[0] == pad]
        kinds = {gap for one in patterns for gap in gaps((*one.columns, one.width))}
        least = min(kinds)
        if not _LEAST <= least <= _WIDEST or len(kinds) < _KINDS:
            continue
        for habit in _laws(pad, push, least):
            share = _share(full, habit)
            if share >= _ADD_UP:
                found.append((-share, len(found), habit))
    best = [habit for _, _, habit in sorted(found)[:_MOST]]
    if all(is_compound(bar.time) for bar in bars):
        return best
    return best + [habit._replace(setting=_SETTING._replace(style=TRIPLETS)) for habit in best]


def _laws(pad: int, push: int, least: int) -> list[Habit]:
    return [
        Habit(pad, trail, push, _SETTING, growth=Growth(least, doubling, shortest))
        for trail in _TRAILS
        for doubling in _DOUBLINGS
        for shortest in _SHORTEST
    ]


def _share(bars: Sequence[Pattern], habit: Habit) -> float:
    """How many of the bars add up, of 1; 0 where clearly too few do."""
    left = len(bars) * (1 - _ADD_UP)
    missing = 0
    for one in bars:
        missing += not _adds_up(one, habit)
        if missing > left:
            return 0.0
    return 1 - missing / len(bars)


def _adds_up(one: Pattern, habit: Habit) -> bool:
    """Whether values whose gaps are exactly those of the bar fill it."""
    growth = habit.growth
    assert growth is not None
    sums = {0}
    known = _values(growth)
    for gap in gaps((*one.columns, one.width - habit.trail)):
        values = known.get(gap, ())
        sums = {total + value for total in sums for value in values if total + value <= one.length}
    return one.length in sums


@lru_cache(maxsize=256)
def _values(growth: Growth) -> dict[int, tuple[int, ...]]:
    """The ticks of the values that each gap may stand for."""
    found: dict[int, tuple[int, ...]] = {}
    for value in values():
        if value >= growth.shortest:
            gap = growth.columns(value)
            found[gap] = (*found.get(gap, ()), value)
    return found


class _GapMoves(dict[int, float]):
    """The weights of moves across one gap, by ``to << 8 | from``; filled as asked for."""

    def __init__(self, table: Moves, growth: Growth, gap: int) -> None:
        super().__init__()
        self._table, self._growth, self._gap = table, growth, gap

    def __missing__(self, key: int) -> float:
        ticks = self._table.places[key >> 8].tick - self._table.places[key & 255].tick
        fit = _fit(self._growth, self._gap, ticks)
        weight = self[key] = fit and fit * self._table[key]
        return weight


def _fit(growth: Growth, gap: int, ticks: int) -> float:
    """How well a gap stands for a note of some ticks: 1 exactly, 0 not at all."""
    off = abs(growth.columns(ticks) - gap) if ticks >= growth.shortest else 2
    return (1.0, math.exp(-_OFF), 0.0)[min(off, 2)]


@lru_cache(maxsize=1024)
def _gap_moves(time: TimeSignature, style: int, growth: Growth, gap: int) -> _GapMoves:
    return _GapMoves(moves(time, style), growth, gap)


@lru_cache(maxsize=256)
def _options(time: TimeSignature, start: int, length: int, setting: Setting) -> Weighed:
    """All places of a bar with their weights."""
    costs = costs_of(setting).costs
    return tuple(
        (index, math.exp(-costs[place.level][EXACT]))
        for index, place in enumerate(places(time))
        if start <= place.tick < start + length
    )


def grown(one: Pattern, habit: Habit, growth: Growth) -> Lattice | None:
    """What the onsets of a bar may be when gaps grow; None where the last one has no room."""
    last = one.width - habit.trail - one.columns[-1]
    late = one.columns[0] - habit.pad
    if last < 1 or late < 0:
        return None
    table = moves(one.time, habit.setting.style)
    options = _options(one.time, one.start, one.length, habit.setting)
    first = tuple(
        (
            index,
            weight
            * table.first(index, one.start)
            * _beginning(growth, late, table.places[index].tick - one.start),
        )
        for index, weight in options
        if (table.places[index].tick == one.start) == (late == 0)
    )
    end = one.start + one.length
    return Lattice(
        [first, *[options] * (len(one.columns) - 1)],
        [_gap_moves(one.time, habit.setting.style, growth, gap) for gap in gaps(one.columns)],
        lambda index: table.last(index, end) * _fit(growth, last, end - table.places[index].tick),
        0.0,
    )


def _beginning(growth: Growth, late: int, ticks: int) -> float:
    return 1.0 if not late else max(_fit(growth, late, ticks), math.exp(-_LATE - _OFF))
