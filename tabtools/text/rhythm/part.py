"""The columns of a part: habits chosen, every pattern read once, doubtful ones held against the rest."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise
from typing import NamedTuple

from tabtools.text.rhythm.align import Aligned, align, several
from tabtools.text.rhythm.columns import ruler
from tabtools.text.rhythm.even import in_threes, is_even_by_default, is_tight
from tabtools.text.rhythm.habit import Habit, Pattern, choose_habits, pattern
from tabtools.text.rhythm.metre import THIRTY_SECOND, moves, places
from tabtools.text.rhythm.padding import early, shortened, unpadded
from tabtools.text.rhythm.records import UNCLEAR, BarColumns
from tabtools.text.rhythm.short import Stretch, irregular, stretches, suspects
from tabtools.theory.duration import is_compound

_SURE = 0.98
_CAPPED = 0.6
_MOST_A_NOTE = 3.0
_UNREADABLE = 9.0
_REPEATED = 0.4
_TRIED = 20
_SLIGHT = 1e-2
_RECURRING = 0.5
# What the columns of a last bar must save, in nats, to be the rest of a pick-up.
_SHORTENED = 2.0
# What it must save, in nats, to take a page for filled up with hyphens.
_FILLED = 3.0
_REST = 4.0
_FURTHER_VALUE = 0.3
_NARROW = 1.5
# The costs are set by hand and too mild: this many times as large they give the chances of being right that
# `python -m tests.benchmarks.rhythm_calibration` measures on the development half of its tunes.
_TEMPER = 2.0


class Reading(NamedTuple):
    """One bar read: ticks of its onsets from the bar's start, the bar's length in ticks, how sure that is,
    the second reading, and whether the bar is short on purpose."""

    ticks: tuple[int, ...]
    length: int
    confidence: float
    other: tuple[int, ...] = ()
    short: bool = False


Key = tuple[Pattern, ...]
Weighted = list[tuple[float, Habit]]
Rhythm = tuple[int, ...]


def read_columns(bars: Sequence[BarColumns | None]) -> list[Reading | None]:
    """The readings of a part's bars; None for a bar that columns are not asked for, has no notes, or fits no
    reading."""
    asked = [bar for bar in bars if bar is not None and bar.onsets]
    if not asked:
        return [None] * len(bars)
    if is_even_by_default(_whole(asked)):
        return [None] * len(bars)
    habits = _weighed(choose_habits(_whole(asked)), _whole(asked))
    if habits[0][1].setting.rate:
        asked = _as_meant(asked)
        habits = _weighed(choose_habits(_whole(asked)), _whole(asked))
    short = stretches(asked, habits[0][1])
    short |= _completing(asked, short, habits[0][1])
    keys = [_key(bar, habits, short.get(index)) for index, bar in enumerate(asked)]
    readings = _doubted(_all(keys, habits), asked)
    found = iter(_bounded(readings, asked, short, habits[0][1]))
    return [next(found) if bar is not None and bar.onsets else None for bar in bars]


def _whole(bars: Sequence[BarColumns]) -> list[BarColumns]:
    """The bars that cannot be pick-ups, or what is left of a bar after one."""
    narrow = suspects(bars)
    return [bar for index, bar in enumerate(bars) if index not in narrow]


def _as_meant(bars: list[BarColumns]) -> list[BarColumns]:
    """The bars without what may be filled up behind them, where that explains the page better."""
    choices = unpadded(bars)
    if not choices:
        return bars
    plain = least_cost(_whole(bars))
    cost, _, best = min((least_cost(_whole(one)), number, one) for number, one in enumerate(choices))
    return best if cost + _FILLED < plain else bars


def _doubted(readings: list[Reading | None], bars: list[BarColumns]) -> list[Reading | None]:
    """The readings, where a page makes more sense as one whose bars are filled up with hyphens with that for
    a second one: nothing but the sense tells a long rest from filling."""
    parts = early(bars)
    if len(parts) < 3 or least_cost(shortened(bars, parts)) + _REST > least_cost(bars):
        return readings
    found = list(readings)
    for index, times in parts.items():
        if (reading := found[index]) is not None:
            other = tuple(tick * times for tick in reading.ticks)
            found[index] = reading._replace(confidence=min(reading.confidence, _CAPPED), other=other)
    return found


def _completing(bars: Sequence[BarColumns], short: dict[int, Stretch], habit: Habit) -> dict[int, Stretch]:
    """The last bar, where as a whole bar it makes less sense than as the rest of the first; its width alone
    does not say so, as every bar of the part has a grid of its own."""
    last = len(bars) - 1
    if set(short) != {0} or bars[last].time != bars[0].time:
        return {}
    rest = Stretch(0, short[0].start, certain=False)
    whole, part = (_cost(pattern(bars[last], habit.push, 0, length), habit) for length in (0, rest.length))
    return {last: rest} if part + _SHORTENED < whole else {}


def _all(keys: Sequence[Key], habits: Weighted) -> list[Reading | None]:
    """Every bar read, equal ones once."""
    first = {key: _read(key, habits) for key in dict.fromkeys(keys)}
    recur = _rhythms(first)
    found = {key: read and _settle(key, read, habits, recur) for key, read in first.items()}
    return [found[key] for key in keys]


def _bounded(
    readings: Sequence[Reading | None], bars: Sequence[BarColumns], short: dict[int, Stretch], habit: Habit
) -> Iterator[Reading | None]:
    """The readings with what limits their confidence from outside the bar."""
    tight = is_tight(bars)
    most = _CAPPED if irregular(bars, habit) else UNCLEAR if tight else 1.0
    for index, reading in enumerate(readings):
        if reading is None:
            yield None
            continue
        stretch = short.get(index)
        limit = most if stretch is None or stretch.certain or len(reading.ticks) == 1 else _CAPPED
        thirds = None if is_compound(bars[index].time) else in_threes(reading.ticks, reading.length)
        if thirds is not None:
            reading, limit = reading._replace(ticks=thirds, other=reading.ticks), _CAPPED
        if tight and any(tick % THIRTY_SECOND for tick in reading.ticks):
            limit = _CAPPED
        yield reading._replace(confidence=min(reading.confidence, limit), short=stretch is not None)


def _key(bar: BarColumns, habits: Weighted, stretch: Stretch | None) -> Key:
    start, length = (stretch.start, stretch.length) if stretch else (0, 0)
    return tuple(pattern(bar, habit.push, start, length) for _, habit in habits)


def _weighed(habits: Sequence[tuple[float, Habit]], bars: Sequence[BarColumns]) -> Weighted:
    """The habits with their shares of the posterior, those that matter, best first."""
    if len(habits) == 1:
        return [(1.0, habits[0][1])]
    costs = _costs(habits, bars)
    least = min(costs)
    shares = [math.exp(least - cost) for cost in costs]
    total = sum(shares)
    ranked = [(share / total, habit) for share, (_, habit) in zip(shares, habits, strict=True)]
    return sorted((item for item in ranked if item[0] > _SLIGHT), key=lambda item: (-item[0], item[1]))


def _costs(habits: Sequence[tuple[float, Habit]], bars: Sequence[BarColumns]) -> list[float]:
    """What the bars cost under each habit, in nats, all readings counted; of many bars, of a sample."""
    costs = []
    for base, habit in habits:
        patterns = Counter(pattern(bar, habit.push) for bar in bars)
        tried = list(patterns.items())[:: max(1, len(patterns) // _TRIED)]
        costs.append(base + sum(_cost(one, habit) * (1 + _REPEATED * (times - 1)) for one, times in tried))
    return costs


def least_cost(bars: Sequence[BarColumns]) -> float:
    """What bars with onsets cost under the habit that explains them best, in nats."""
    return min(_costs(choose_habits(bars), bars))


def _cost(one: Pattern, habit: Habit) -> float:
    found = _aligned(one, habit)
    return found.cost if found is not None else _UNREADABLE * len(one.columns)


def _aligned(one: Pattern, habit: Habit) -> Aligned | None:
    span = one.width - habit.pad - habit.trail
    if span <= 0:
        return None
    columns = [column - habit.pad for column in one.columns]
    table = moves(one.time, habit.setting.style)
    return align(columns, ruler(one.time, one.start, one.length, span), habit.setting, table)


def _read(key: Key, habits: Weighted) -> tuple[Rhythm, float] | None:
    """The likeliest reading over all habits, as places, and its share."""
    shares: dict[Rhythm, float] = {}
    for (weight, habit), one in zip(habits, key, strict=True):
        found = _aligned(one, habit)
        if found is not None and found.cost <= _MOST_A_NOTE * len(one.columns) + 4:
            shares[found.places] = shares.get(found.places, 0.0) + weight * found.share
    if not shares:
        return None
    best = min(shares, key=lambda path: (-shares[path], path))
    return best, shares[best]


def _rhythms(first: dict[Key, tuple[Rhythm, float] | None]) -> dict[tuple[object, Rhythm], float]:
    """How often each rhythm occurs among the different patterns of the part."""
    found: dict[tuple[object, Rhythm], float] = {}
    for key, read in first.items():
        if read is not None:
            where = (key[0].time, read[0])
            found[where] = found.get(where, 0.0) + read[1]
    return found


def _settle(
    key: Key, read: tuple[Rhythm, float], habits: Weighted, recur: dict[tuple[object, Rhythm], float]
) -> Reading:
    """The reading of a bar, where it is doubtful after a look at the rest of the part: rhythms recur."""
    ranked = [(read[1], read[0])]
    if read[1] < _SURE:
        ranked = _ranked(key, read, habits, recur)
    confidence, best = _sharpened(ranked[0][0]), ranked[0][1]
    where = places(key[0].time)
    if _too_fine(key[0], best, habits[0][1]):
        confidence = min(confidence, _CAPPED)
    ticks = [tuple(where[index].tick - key[0].start for index in path) for _, path in ranked[:2]]
    other = ticks[1] if len(ticks) > 1 else ()
    if habits[0][1].setting.rate and (level := levelled(ticks[0])):
        confidence, other = min(confidence, _CAPPED), level
    return Reading(ticks[0], key[0].length, confidence, other)


def levelled(ticks: Rhythm) -> Rhythm:
    """A rhythm with the one thirty-second in it put right: where notes slip, a lone one may be a slip. Empty
    where there is none, or more than one."""
    lone = [at for at, tick in enumerate(ticks) if tick % (2 * THIRTY_SECOND)]
    if len(lone) != 1 or ticks[lone[0]] % THIRTY_SECOND:
        return ()
    at = lone[0]
    sides = (ticks[at] - THIRTY_SECOND, ticks[at] + THIRTY_SECOND)
    return next(((*ticks[:at], side, *ticks[at + 1 :]) for side in sides if side not in ticks), ())


def _sharpened(share: float) -> float:
    """A share as a chance of being right: to the power of _TEMPER against what is left, both renormalised."""
    right, wrong = math.pow(share, _TEMPER), math.pow(1 - share, _TEMPER)
    return right / (right + wrong)


def _ranked(
    key: Key, read: tuple[Rhythm, float], habits: Weighted, recur: dict[tuple[object, Rhythm], float]
) -> list[tuple[float, Rhythm]]:
    shares: dict[Rhythm, float] = {}
    for (weight, habit), one in zip(habits, key, strict=True):
        span = one.width - habit.pad - habit.trail
        if span > 0:
            columns = [column - habit.pad for column in one.columns]
            table = moves(one.time, habit.setting.style)
            for share, path in several(
                columns, ruler(one.time, one.start, one.length, span), habit.setting, table
            ):
                shares[path] = shares.get(path, 0.0) + weight * share
    where = places(key[0].time)
    judged = {}
    for path, share in shares.items():
        others = recur.get((key[0].time, path), 0.0) - (read[1] if path == read[0] else 0.0)
        values = {where[b].tick - where[a].tick for a, b in pairwise(path)}
        judged[path] = share * (1 + max(others, 0.0)) ** _RECURRING * math.exp(-_FURTHER_VALUE * len(values))
    scale = sum(shares.values()) / sum(judged.values())
    ranked = [(weight * scale, path) for path, weight in judged.items()]
    return sorted(ranked, key=lambda item: (-item[0], item[1]))


def _too_fine(one: Pattern, path: Rhythm, habit: Habit) -> bool:
    """Whether a reading needs steps of less than a column and a half."""
    span = one.width - habit.pad - habit.trail
    where = places(one.time)
    return min(where[index].step for index in path) * span < _NARROW * one.length
