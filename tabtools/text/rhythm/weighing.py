"""What the bars of a part cost under the habits of writers, and which habits are likely."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Mapping, Sequence
from functools import lru_cache
from types import MappingProxyType

from tabtools.text.rhythm.align import Aligned, Lattice, align, lattice
from tabtools.text.rhythm.choice import choose_habits, one_scale
from tabtools.text.rhythm.columns import GRID, beats_apart, ruler
from tabtools.text.rhythm.extra import variants
from tabtools.text.rhythm.grown import grown, growths
from tabtools.text.rhythm.habit import Habit, Pattern, end_cost, led, of_many_widths, pattern, sample
from tabtools.text.rhythm.metre import moves
from tabtools.text.rhythm.records import BarColumns

# Habits with their shares of the posterior.
Weighted = list[tuple[float, Habit]]
# What a bar may look like to a writer, each with its weight.
Looks = tuple[tuple[float, Pattern], ...]
NONE: Mapping[int, int] = MappingProxyType({})
_UNREADABLE = 9.0
_REPEATED = 0.4
_TRIED = 20
_SLIGHT = 1e-2
_MANY = 3


def looks_of(bar: BarColumns, push: int, start: int = 0, length: int = 0, extra: int = 0) -> Looks:
    """A bar from tick ``start`` of its metre on, ``length`` ticks long (0: whole), with ``extra`` columns, to
    a writer whose wide numbers push as said."""
    if not extra:
        return ((1.0, pattern(bar, push, start, length)),)
    return tuple((weight, pattern(one, push, start, length)) for weight, one in variants(bar, extra))


def weighed(
    habits: Sequence[tuple[float, Habit]], bars: Sequence[BarColumns], extra: Mapping[int, int] = NONE
) -> Weighted:
    """The habits with their shares of the posterior, those that matter, best first."""
    if len(habits) == 1:
        return [(1.0, habits[0][1])]
    costs = costs_under(habits, bars, extra)
    least = min(costs)
    shares = [math.exp(least - cost) for cost in costs]
    total = sum(shares)
    ranked = [(share / total, habit) for share, (_, habit) in zip(shares, habits, strict=True)]
    return sorted((item for item in ranked if item[0] > _SLIGHT), key=lambda item: -item[0])


def costs_under(
    habits: Sequence[tuple[float, Habit]], bars: Sequence[BarColumns], extra: Mapping[int, int] = NONE
) -> list[float]:
    """What the bars cost under each habit, in nats, all readings counted; of many bars, of a sample."""
    tried: dict[int, list[tuple[Looks, int]]] = {}
    costs = []
    for base, habit in habits:
        if habit.push not in tried:
            looks = Counter(looks_of(bar, habit.push, extra=extra.get(at, 0)) for at, bar in enumerate(bars))
            tried[habit.push] = list(looks.items())[:: max(1, len(looks) // _TRIED)]
        paid = (cost_of(one, habit) * (1 + _REPEATED * (times - 1)) for one, times in tried[habit.push])
        costs.append(base + sum(paid))
    return costs


def least_cost(bars: Sequence[BarColumns]) -> float:
    """What bars with onsets cost under the habit that explains them best, in nats."""
    return min(costs_under(writers(bars), bars))


def writers(
    bars: Sequence[BarColumns], every: Sequence[BarColumns] | None = None
) -> list[tuple[float, Habit]]:
    """The habits that may explain a page, each with the cost in nats of what its single bars do not show.
    Gaps that grow are thought of where bars of one metre are of many widths, or of several and not exact;
    one scale for all bars, where ``every`` bar of the page, those at its ends too, are of several widths."""
    found = choose_habits(bars)
    kinds = {(bar.time, bar.width) for bar in every or bars}
    if len(kinds) > len({time for time, _ in kinds}):
        found += one_scale(bars, [habit for _, habit in found])
    setting = found[0][1].setting
    inexact = (setting.law, setting.rate) != (GRID, 0)
    if not of_many_widths(sample(bars), found[0][1].push, _MANY - inexact):
        return found
    return found + [(habit.prior, habit) for habit in growths(bars)]


def cost_of(looks: Looks, habit: Habit) -> float:
    found = [(weight, best.cost) for weight, one in looks if (best := aligned(one, habit)) is not None]
    if not found:
        return _UNREADABLE * max((len(one.columns) for _, one in looks), default=1)
    least = min(cost for _, cost in found)
    return least - math.log(sum(weight * math.exp(least - cost) for weight, cost in found))


@lru_cache(maxsize=2048)
def aligned(one: Pattern, habit: Habit) -> Aligned | None:
    """The best reading of a bar by a writer: asked for to weigh the writer, and again to read the bar."""
    found = lattice_of(one, habit)
    return align(found) if found is not None else None


def lattice_of(one: Pattern, habit: Habit) -> Lattice | None:
    """What the onsets of a bar may be for a writer; None where there is no room for music."""
    if habit.growth is not None:
        return grown(one, habit, habit.growth)
    span = habit.span(one.time, one.length, one.width)
    if span <= beats_apart(one.time, one.length, habit.apart):
        return None
    later = led(one, habit)
    columns = [column - habit.pad - later for column in one.columns]
    table = moves(one.time, habit.setting.style)
    found = lattice(columns, ruler(one.time, one.start, one.length, span, habit.apart), habit.setting, table)
    return found._replace(cost=found.cost + end_cost(one, habit)) if habit.quarter else found


def parts(looks: Looks, habit: Habit) -> list[tuple[float, Pattern]]:
    """What a bar may look like, each with its share."""
    if len(looks) == 1:
        return [(1.0, looks[0][1])]
    found = [(cost_of((look,), habit), look[1]) for look in looks]
    least = min(cost for cost, _ in found)
    weights = [math.exp(least - cost) for cost, _ in found]
    total = sum(weights)
    return [
        (weight / total, one)
        for weight, (_, one) in zip(weights, found, strict=True)
        if weight > _SLIGHT * total
    ]
