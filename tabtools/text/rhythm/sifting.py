"""The first look at habits: those that explain the single columns of a page not much worse than the best."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from itertools import product
from operator import mul

from tabtools.record import NamedTuple
from tabtools.score import TimeSignature
from tabtools.text.rhythm.columns import (
    IMPOSSIBLE,
    SIXTEENTHS,
    STRETCHED,
    Costs,
    Setting,
    Signature,
    beats_apart,
    costs_of,
    ruler,
)
from tabtools.text.rhythm.habit import (
    CELLS,
    DIGITS,
    EACH,
    EACH_DIGIT,
    KEEP,
    PADS,
    RIGHT,
    RIGHT_TIGHT,
    TIGHT,
    TRAILS,
    Habit,
    Pattern,
    pattern,
)
from tabtools.text.rhythm.metre import TRIPLETS, bar_ticks
from tabtools.text.rhythm.records import BarColumns

_WIDEST = Setting(SIXTEENTHS, TRIPLETS, STRETCHED, 2)
_REPEATED = 0.4
_SIFTED = 25.0
# The usual trails first: the sooner a good habit is found, the less is asked of bad ones.
_TRAILS = sorted(TRAILS, key=lambda trail: TRAILS[trail])
# Columns are added up in portions, so that a habit that explains them badly is let go early.
_PORTION = 8
# Which ways to push make a difference: where numbers have several digits, and where there are other marks.
_OF_DIGITS, _OF_CELLS = (DIGITS, RIGHT, RIGHT_TIGHT), (CELLS, TIGHT)


class Group(NamedTuple):
    """Columns of bars of one metre and width, and how often each occurs; a bar that repeats another counts
    less."""

    time: TimeSignature
    width: int
    columns: tuple[int, ...]
    counts: tuple[float, ...]


Groups = Sequence[Group]


def sift(
    bars: Sequence[BarColumns],
    *,
    aparts: Sequence[int] = (0,),
    trails: Sequence[int] = _TRAILS,
    each: bool = False,
    quarters: Sequence[int] = (0,),
) -> list[tuple[Habit, Groups]]:
    """The habits that are not far behind the best at the widest setting, with the columns as they see
    them; ``each``: those whose numbers all push; ``quarters``: what a quarter may take all over the part."""
    found: list[tuple[float, Habit, Groups]] = []
    first = max(min(bar.onsets[0] for bar in bars), 0)
    pads = [pad for pad in PADS if pad <= first + 1]
    costs = costs_of(_WIDEST)
    least = math.inf
    for push, patterns in _looks(bars, each):
        groups = list(_groups(patterns))
        portions = sorted(_portions(groups), key=lambda group: -sum(group.counts))
        for trail, pad, apart, quarter in product(trails, pads, aparts, quarters):
            habit = Habit(pad, trail, push, _WIDEST, apart, quarter=quarter)
            cost = cost_of_columns(portions, habit, costs, habit.prior, least + _SIFTED)
            least = min(least, cost)
            found.append((cost, habit, groups))
    near = [(habit, groups) for cost, habit, groups in found if cost < least + _SIFTED]
    return sorted(near, key=lambda item: (item[0].push, item[0].pad, item[0].trail, item[0].apart))


def cost_of_columns(
    groups: Groups, habit: Habit, costs: Costs, cost: float, limit: float = math.inf
) -> float:
    """``cost`` and that of the cheapest places of all columns, whatever their neighbours; infinite from a
    limit on."""
    pad = habit.pad
    for time, width, columns, counts in groups:
        span = _span(time, width, habit)
        if span:
            least = ruler(time, 0, bar_ticks(time), span, habit.apart).least(costs)
            cost += sum(map(mul, [least[column - pad] for column in columns], counts))
        else:
            cost += IMPOSSIBLE * sum(counts)
        if cost >= limit:
            return math.inf
    return cost


def signatures(groups: Groups, habit: Habit) -> Mapping[Signature, float]:
    """How often each kind of column occurs with a habit."""
    found: dict[Signature, float] = {}
    for time, width, columns, counts in groups:
        span = _span(time, width, habit)
        signature = ruler(time, 0, bar_ticks(time), span, habit.apart).signature if span else None
        for column, count in zip(columns, counts, strict=True):
            one = signature(column - habit.pad) if signature else ()
            found[one] = found.get(one, 0.0) + count
    return found


def _span(time: TimeSignature, width: int, habit: Habit) -> int:
    """The columns from the first note to the end of the last step; 0 where no music has room."""
    span = habit.span(time, bar_ticks(time), width)
    return span if span > beats_apart(time, bar_ticks(time), habit.apart) else 0


def _looks(bars: Sequence[BarColumns], each: bool) -> Iterator[tuple[int, list[Pattern]]]:
    """The bars as writers see them whose wide numbers push differently, where that makes a difference."""
    pushes = [EACH if each else KEEP]
    if any(extent.digits > 1 for bar in bars for extent in bar.extents):
        pushes += [EACH_DIGIT] if each else _OF_DIGITS
    if not each and any(extent.cell > 1 for bar in bars for extent in bar.extents):
        pushes += _OF_CELLS
    seen: list[list[Pattern]] = []
    for push in sorted(pushes):
        patterns = [pattern(bar, push) for bar in bars]
        if patterns not in seen:
            seen.append(patterns)
            yield push, patterns


def _groups(patterns: Iterable[Pattern]) -> Iterator[Group]:
    groups: dict[tuple[TimeSignature, int], dict[int, float]] = {}
    for one, times in Counter(patterns).items():
        weight = 1 + _REPEATED * (times - 1)
        columns = groups.setdefault((one.time, one.width), {})
        for column in one.columns:
            columns[column] = columns.get(column, 0.0) + weight
    for (time, width), found in groups.items():
        yield Group(time, width, tuple(found), tuple(found.values()))


def _portions(groups: Groups) -> Iterator[Group]:
    """The groups cut up, the commonest columns of each first."""
    for time, width, columns, counts in groups:
        order = sorted(range(len(columns)), key=lambda at: -counts[at])
        for start in range(0, len(order), _PORTION):
            part = order[start : start + _PORTION]
            yield Group(time, width, tuple(columns[at] for at in part), tuple(counts[at] for at in part))
