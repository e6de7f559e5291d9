"""Every pattern of a part read once; doubtful ones are held against the rest, as rhythms recur."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from tabtools.record import NamedTuple
from tabtools.text.rhythm.align import several
from tabtools.text.rhythm.columns import GRID, SLIP_RATES
from tabtools.text.rhythm.habit import EACH, EACH_DIGIT, Habit, Pattern
from tabtools.text.rhythm.metre import THIRTY_SECOND, places
from tabtools.text.rhythm.records import CAPPED
from tabtools.text.rhythm.weighing import Looks, Weighted, aligned, lattice_of, parts

_SURE = 0.98
_MOST_A_NOTE = 3.0
_RECURRING = 0.5
_FURTHER_VALUE = 0.3
_NARROW, _FEW = 1.5, 3.5
# The costs are set by hand and too mild: this many times as large they give the chances of being right that
# `python -m tests.benchmarks.rhythm_calibration` measures on the development half of its tunes.
_TEMPER = 2.0

# A bar as every writer sees it.
Key = tuple[Looks, ...]
Rhythm = tuple[int, ...]


class Reading(NamedTuple):
    """One bar read: ticks of its onsets from the bar's start, the bar's length in ticks, how sure that is,
    the second reading, and whether the bar is short on purpose."""

    ticks: tuple[int, ...]
    length: int
    confidence: float
    other: tuple[int, ...] = ()
    short: bool = False


def read_all(keys: Sequence[Key], habits: Weighted) -> list[Reading | None]:
    """Every bar read, equal ones once."""
    first = {key: _read(key, habits) for key in dict.fromkeys(keys)}
    recur = _rhythms(first)
    found = {key: read and _settle(key, read, habits, recur) for key, read in first.items()}
    return [found[key] for key in keys]


def _read(key: Key, habits: Weighted) -> tuple[Rhythm, float] | None:
    """The likeliest reading over all habits, as places, and its share."""
    shares: dict[Rhythm, float] = {}
    for (weight, habit), looks in zip(habits, key, strict=True):
        for part, one in parts(looks, habit):
            found = aligned(one, habit)
            if found is not None and found.cost <= _MOST_A_NOTE * len(one.columns) + 4:
                shares[found.places] = shares.get(found.places, 0.0) + weight * part * found.share
    if not shares:
        return None
    best = min(shares, key=lambda path: (-shares[path], path))
    return best, shares[best]


def _rhythms(first: dict[Key, tuple[Rhythm, float] | None]) -> dict[tuple[object, Rhythm], float]:
    """How often each rhythm occurs among the different patterns of the part."""
    found: dict[tuple[object, Rhythm], float] = {}
    for key, read in first.items():
        if read is not None:
            where = (_first(key).time, read[0])
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
    one = _first(key)
    where = places(one.time)
    if _too_fine(one, best, habits[0][1]):
        confidence = min(confidence, CAPPED)
    ticks = [tuple(where[index].tick - one.start for index in path) for _, path in ranked[:2]]
    other = ticks[1] if len(ticks) > 1 else ()
    if habits[0][1].setting.rate and (level := levelled(ticks[0])):
        confidence, other = min(confidence, CAPPED), level
    return Reading(ticks[0], one.length, confidence, other)


def levelled(ticks: Rhythm) -> Rhythm:
    """A rhythm with the one thirty-second in it put right: where notes slip, a lone one may be a slip. Empty
    where there is none, or more than one."""
    lone = [at for at, tick in enumerate(ticks) if tick % (2 * THIRTY_SECOND)]
    if len(lone) != 1 or ticks[lone[0]] % THIRTY_SECOND:
        return ()
    at = lone[0]
    sides = (ticks[at] - THIRTY_SECOND, ticks[at] + THIRTY_SECOND)
    return next(((*ticks[:at], side, *ticks[at + 1 :]) for side in sides if side not in ticks), ())


def _first(key: Key) -> Pattern:
    """A bar as it looks to the likeliest writer."""
    return key[0][0][1]


def _sharpened(share: float) -> float:
    """A share as a chance of being right: to the power of _TEMPER against what is left, both renormalised."""
    right, wrong = math.pow(share, _TEMPER), math.pow(1 - share, _TEMPER)
    return right / (right + wrong)


def _ranked(
    key: Key, read: tuple[Rhythm, float], habits: Weighted, recur: dict[tuple[object, Rhythm], float]
) -> list[tuple[float, Rhythm]]:
    shares: dict[Rhythm, float] = {}
    for (weight, habit), looks in zip(habits, key, strict=True):
        for part, one in parts(looks, habit):
            found = lattice_of(one, habit)
            for share, path in several(found) if found is not None else ():
                shares[path] = shares.get(path, 0.0) + weight * part * share
    time = _first(key).time
    where = places(time)
    judged = {}
    for path, share in shares.items():
        others = recur.get((time, path), 0.0) - (read[1] if path == read[0] else 0.0)
        values = {where[b].tick - where[a].tick for a, b in pairwise(path)}
        judged[path] = share * (1 + max(others, 0.0)) ** _RECURRING * math.exp(-_FURTHER_VALUE * len(values))
    scale = sum(shares.values()) / sum(judged.values())
    ranked = [(weight * scale, path) for path, weight in judged.items()]
    return sorted(ranked, key=lambda item: (-item[0], item[1]))


def _too_fine(one: Pattern, path: Rhythm, habit: Habit) -> bool:
    """Whether a reading needs steps of less than a column and a half, or of few columns for a writer who
    explains everything; where gaps are not in proportion, even the least is wider."""
    if habit.growth is not None or habit.push in (EACH, EACH_DIGIT):
        return False
    span = habit.span(one.time, one.length, one.width)
    where = places(one.time)
    least = _FEW if _explains_all(habit) else _NARROW
    return min(where[index].step for index in path) * span <= least * one.length


def _explains_all(habit: Habit) -> bool:
    """Whether a writer slips most often and rounds, or sets beats apart: nearly every page could be explained
    so, and what seems to be such a writer's mostly has a rule that is not thought of."""
    freely = habit.setting.law != GRID or habit.apart > 0
    return freely and habit.setting.rate == len(SLIP_RATES) - 1
