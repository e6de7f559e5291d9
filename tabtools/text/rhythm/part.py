"""The columns of a part: habits chosen, every pattern read once, doubtful ones held against the rest."""

from __future__ import annotations

from collections.abc import Sequence

from tabtools.text.rhythm.choice import choose_habits
from tabtools.text.rhythm.columns import GRID
from tabtools.text.rhythm.even import is_even_by_default
from tabtools.text.rhythm.extra import odd_widths
from tabtools.text.rhythm.habit import Habit
from tabtools.text.rhythm.limits import bounded
from tabtools.text.rhythm.metre import THIRTY_SECOND
from tabtools.text.rhythm.padding import crowded, early, late, shortened, unpadded
from tabtools.text.rhythm.records import CAPPED, BarColumns
from tabtools.text.rhythm.settling import Key, Reading, read_all
from tabtools.text.rhythm.short import Stretch, irregular, stretches, suspects
from tabtools.text.rhythm.weighing import (
    Looks,
    Weighted,
    cost_of,
    costs_under,
    least_cost,
    looks_of,
    weighed,
    writers,
)

# What the columns of a last bar must save, in nats, to be the rest of a pick-up.
_SHORTENED = 2.0
# What it must save, in nats, to take a page for filled up with hyphens.
_FILLED = 3.0
_REST = 4.0
# How many bars keep to a part of their width at least, and what share of them where they begin late: rests do
# that to single bars.
_FEWEST_PARTS, _PARTS_AT_LEFT = 3, 0.4


def read_columns(bars: Sequence[BarColumns | None]) -> list[Reading | None]:
    """The readings of a part's bars; None for a bar that columns are not asked for, has no notes, or fits no
    reading."""
    asked = [bar for bar in bars if bar is not None and bar.onsets]
    if not asked:
        return [None] * len(bars)
    if is_even_by_default(_whole(asked)):
        return [None] * len(bars)
    habits = weighed(writers(_whole(asked), asked), _whole(asked))
    extra: dict[int, int] = {}
    if _doubtful(habits[0][1], asked):
        habits, asked, extra = _as_meant(habits, asked)
    short = stretches(asked, habits[0][1])
    short |= _completing(asked, short, habits[0][1])
    keys = [_key(bar, habits, short.get(index), extra.get(index, 0)) for index, bar in enumerate(asked)]
    readings = read_all(keys, habits)
    if habits[0][1].growth is None:
        readings = _doubted(readings, asked)
    found = iter(bounded(readings, asked, short, extra, habits[0][1]))
    return [next(found) if bar is not None and bar.onsets else None for bar in bars]


def _whole(bars: Sequence[BarColumns]) -> list[BarColumns]:
    """The bars that cannot be pick-ups, or what is left of a bar after one."""
    narrow = suspects(bars)
    return [bar for index, bar in enumerate(bars) if index not in narrow]


def _doubtful(habit: Habit, bars: Sequence[BarColumns]) -> bool:
    """Whether a page asks for another explanation than that its writer slips, rounds or has no rule."""
    return habit.growth is None and (
        habit.quarter > 0 or habit.setting.rate > 0 or habit.setting.law != GRID or irregular(bars, habit)
    )


def _as_meant(habits: Weighted, bars: list[BarColumns]) -> tuple[Weighted, list[BarColumns], dict[int, int]]:
    """The habits and the bars without what may be filled up behind or before them, or with the columns that
    some have too many, where that explains the page better."""
    plain = least_cost(_whole(bars))
    choices = unpadded(bars)
    if choices:
        cost, _, best = min((least_cost(_whole(one)), number, one) for number, one in enumerate(choices))
        if cost + _FILLED < plain:
            plain, bars = cost, best
            habits = weighed(writers(_whole(bars), bars), _whole(bars))
    extra = odd_widths(bars)
    if extra:
        regular = [bar for at, bar in enumerate(bars) if at not in extra]
        found = choose_habits(regular)
        likely = [habit for _, habit in weighed(found, regular)]
        found = [(base, habit) for base, habit in found if habit in likely]
        if min(costs_under(found[:1], bars, extra)) < plain:
            return weighed(found, bars, extra), bars, extra
    return habits, bars, {}


def _doubted(readings: list[Reading | None], bars: list[BarColumns]) -> list[Reading | None]:
    """The readings, where a page makes more sense as one whose bars are filled up with hyphens, or a bar with
    several notes keeps them all to its first quarter, with that for a second one: nothing but the sense tells
    a long rest from filling."""
    found = list(readings)
    for at_left, parts in ((False, early(bars)), (True, late(bars))):
        if not _makes_sense(bars, parts, at_left):
            parts = {} if at_left else crowded(bars, parts)
        for index, times in parts.items():
            reading = found[index]
            if reading is None or any(tick % THIRTY_SECOND for tick in reading.ticks):
                continue
            before = reading.length - reading.length // times if at_left else 0
            other = tuple((tick - before) * times for tick in reading.ticks)
            found[index] = reading._replace(confidence=min(reading.confidence, CAPPED), other=other)
    return found


def _makes_sense(bars: list[BarColumns], parts: dict[int, int], at_left: bool) -> bool:
    """Whether enough bars keep to a part of their width, and the page makes more sense without the rest."""
    fewest = _PARTS_AT_LEFT * len(bars) if at_left else 0
    enough = len(parts) >= max(_FEWEST_PARTS, fewest)
    return enough and least_cost(shortened(bars, parts, at_left)) + _REST <= least_cost(bars)


def _completing(bars: Sequence[BarColumns], short: dict[int, Stretch], habit: Habit) -> dict[int, Stretch]:
    """The last bar, where as a whole bar it makes less sense than as the rest of the first; its width alone
    does not say so, as every bar of the part has a grid of its own."""
    last = len(bars) - 1
    if set(short) != {0} or bars[last].time != bars[0].time:
        return {}
    rest = Stretch(0, short[0].start, certain=False)
    whole, part = (cost_of(looks_of(bars[last], habit.push, 0, length), habit) for length in (0, rest.length))
    return {last: rest} if part + _SHORTENED < whole else {}


def _key(bar: BarColumns, habits: Weighted, stretch: Stretch | None, extra: int) -> Key:
    start, length = (stretch.start, stretch.length) if stretch else (0, 0)
    looks: dict[int, Looks] = {}
    for _, habit in habits:
        if habit.push not in looks:
            looks[habit.push] = looks_of(bar, habit.push, start, length, 0 if stretch else extra)
    return tuple(looks[habit.push] for _, habit in habits)
