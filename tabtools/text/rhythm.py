"""Columns to time: what the page writes is taken exactly, what it only suggests is marked as inferred.

Evidence, strongest first: duration letters, a count row, the columns themselves. For the columns one habit
is chosen for the whole page (how many columns stand before the first note and after the last step); bar
lines and metre then fix the scale of every bar. A bar that no habit explains gets even notes.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from typing import NamedTuple

from tabtools.score import ZERO, Inferred, Quarters, TimeSignature
from tabtools.text.values import read_duration
from tabtools.theory.duration import is_compound

_COUNT_PARTS = {
    "e": Fraction(1, 4),
    "&": Fraction(1, 2),
    "+": Fraction(1, 2),
    "and": Fraction(1, 2),
    "a": Fraction(3, 4),
}
_PADS = {0: 1.0, 1: 0.0, 2: 1.0, 3: 3.0}
_TRAILS = {-2: 2.0, -1: 1.0, 0: 0.0, 1: 1.0}
_HABITS = tuple(
    (pad, trail, pad_cost + trail_cost)
    for pad, pad_cost in _PADS.items()
    for trail, trail_cost in _TRAILS.items()
)
# Costs in nats of an onset by its place in the bar; hand-set, in the spirit of Longuet-Higgins & Lee (1984):
# the weaker the metrical level, the dearer.
_LEVELS = {1: 0.2, 2: 0.4, 4: 1.1, 8: 1.8, 3: 1.0, 6: 2.0}
_MIXED = 1.5
_OFF_GRID = 6.0
_NO_CONTRAST = 0.6
# A reading that costs more than this an onset puts nearly every note on the finest grid: no explanation.
_FAR_FETCHED = 1.3
EVEN = Inferred("rhythm", "even notes", 0.3)


class BarColumns(NamedTuple):
    """One bar as it stands on the page. Columns count from the first one after the bar line.

    ``onsets`` are the columns of notes that take time, ascending; ``letters`` and ``counts`` are the words
    of such rows over or under this bar, with their columns.
    """

    onsets: tuple[int, ...]
    width: int
    time: TimeSignature
    letters: tuple[tuple[int, str], ...] = ()
    counts: tuple[tuple[int, str], ...] = ()


class Timing(NamedTuple):
    """Onset and duration of every onset column of a bar, and the rests between, in quarter notes.

    ``inferred`` is None where the page wrote the durations. ``pickup`` marks a first bar that is short.
    """

    onsets: tuple[Quarters, ...]
    durations: tuple[Quarters, ...]
    rests: tuple[tuple[Quarters, Quarters], ...] = ()
    inferred: Inferred | None = None
    pickup: bool = False


def read_rhythm(bars: Sequence[BarColumns]) -> list[Timing]:
    """The timing of every bar of one part, in order."""
    habit = _habit(bars)
    short = _pickup_length(bars, habit)
    alike = _no_contrast(bars)
    timings = []
    for index, bar in enumerate(bars):
        timing = _written(bar)
        if timing is not None:
            total = sum(timing.durations) + sum(duration for _, duration in timing.rests)
            early = index == 0 and len(bars) > 1 and total < bar.time.length
            timing = timing._replace(pickup=early and bool(bar.letters))
        elif index == 0 and short:
            timing = _by_columns(bar, habit, short, alike=alike, pickup=True)
        else:
            timing = _by_columns(bar, habit, bar.time.length, alike=alike)
        timings.append(timing)
    return timings


def _written(bar: BarColumns) -> Timing | None:
    """The timing that letters or counts give; None where a bar has neither."""
    timing = _by_letters(bar) if bar.letters else None
    return _by_counts(bar) if timing is None and bar.counts else timing


def _by_letters(bar: BarColumns) -> Timing | None:
    """Durations as the letters say; None where they leave out a note, so that they say nothing certain.

    Each letter belongs to the onset at its column; one with no onset near is a rest. As many letters as
    onsets pair in order, wherever they stand.
    """
    values = [(column, *(read_duration(word) or (ZERO, True))) for column, word in bar.letters]
    in_order = len(values) == len(bar.onsets) and not any(rest for _, _, rest in values)
    onsets: list[Quarters] = []
    durations: list[Quarters] = []
    rests: list[tuple[Quarters, Quarters]] = []
    now = ZERO
    for column, value, rest in values:
        position = len(onsets)
        left = len(bar.onsets) - position
        if left and not rest and (in_order or abs(bar.onsets[position] - column) <= 1):
            onsets.append(now)
            durations.append(value)
        else:
            rests.append((now, value))
        now += value
    if len(onsets) < len(bar.onsets):
        return None
    return Timing(tuple(onsets), tuple(durations), tuple(rests))


def _by_counts(bar: BarColumns) -> Timing:
    """Each count is a knot of column and time; onsets between two knots lie on the line between them."""
    unit = Fraction(4, bar.time.unit)
    knots: list[tuple[int, Quarters]] = []
    beat = ZERO
    for column, word in bar.counts:
        if word.isdigit():
            beat = (int(word) - 1) * unit
            knots.append((column, beat))
        else:
            knots.append((column, beat + _COUNT_PARTS[word] * unit))
    knots = [knot for index, knot in enumerate(knots) if index == 0 or knot[1] > knots[index - 1][1]]
    onsets = _on_knots(knots, bar)
    if any(later <= earlier for earlier, later in pairwise(onsets)):
        return _even(bar, bar.time.length)
    exact = all(_level(onset, bar.time) is not None for onset in onsets)
    inferred = None if exact else Inferred("rhythm", "counts", 0.5)
    return _until_next(onsets, bar.time.length, inferred)


def _on_knots(knots: list[tuple[int, Quarters]], bar: BarColumns) -> list[Quarters]:
    """Onsets right under a count have its time, and so do those one column off a count that no other onset
    stands under; the others lie between two counts."""
    times = dict(knots)
    free = set(times) - set(bar.onsets)
    onsets = []
    for column in bar.onsets:
        places = (column, column - 1, column + 1)
        near = column if column in times else next((place for place in places if place in free), column)
        if near in times:
            free.discard(near)
            onsets.append(times[near])
        else:
            onsets.append(_between(knots, column, bar))
    return onsets


def _between(knots: list[tuple[int, Quarters]], column: int, bar: BarColumns) -> Quarters:
    if len(knots) < 2:
        return Fraction(max(column - (knots[0][0] if knots else 0), 0) * bar.time.length, max(bar.width, 1))
    left, right = knots[0], knots[1]
    for first, second in pairwise(knots):
        if first[0] <= column:
            left, right = first, second
    slope = Fraction(right[1] - left[1]) / (right[0] - left[0])
    return max(left[1] + (column - left[0]) * slope, ZERO)


def _by_columns(
    bar: BarColumns, habit: tuple[int, int], length: Quarters, *, alike: bool, pickup: bool = False
) -> Timing:
    best, margin = _readings(bar.onsets, bar.width, bar.time, length, habit)
    if best is None:
        return _even(bar, length, pickup=pickup)
    confidence = 1 / (1 + math.exp(-margin))
    if alike:
        confidence = min(confidence, _NO_CONTRAST)
    return _until_next(best, length, Inferred("rhythm", "columns", round(confidence, 3)), pickup=pickup)


def _until_next(
    onsets: Sequence[Quarters], length: Quarters, inferred: Inferred | None, *, pickup: bool = False
) -> Timing:
    """Each note lasts to the next onset, the last one to the end of the bar; a late start is a rest."""
    ends = [*onsets[1:], max(length, onsets[-1] + Fraction(1, 4)) if onsets else length]
    durations = tuple(end - onset for onset, end in zip(onsets, ends, strict=True)) if onsets else ()
    first = onsets[0] if onsets else length
    rests = ((ZERO, first),) if first > 0 else ()
    return Timing(tuple(onsets), durations, rests, inferred, pickup)


def _even(bar: BarColumns, length: Quarters, *, pickup: bool = False) -> Timing:
    """Even notes of the largest plain value that gets them all into the bar; the last one fills it."""
    count = len(bar.onsets)
    value = Fraction(1)
    while value * count > length:
        value /= 2
    return _until_next([index * value for index in range(count)], length, EVEN, pickup=pickup)


def _habit(bars: Sequence[BarColumns]) -> tuple[int, int]:
    """The (pad, trail) that explains the page's bars best."""
    kinds: dict[tuple[tuple[int, ...], int, TimeSignature], int] = {}
    for bar in bars:
        if bar.onsets and not bar.letters and not bar.counts:
            kind = (bar.onsets, bar.width, bar.time)
            kinds[kind] = kinds.get(kind, 0) + 1

    def total(pad: int, trail: int, prior: float) -> float:
        return prior + sum(
            times * _cost(onsets, width, time, time.length, pad, trail)[0]
            for (onsets, width, time), times in kinds.items()
        )

    return min((total(*habit), habit[:2]) for habit in _HABITS)[1]


@lru_cache(maxsize=4096)
def _readings(
    onsets: tuple[int, ...], width: int, time: TimeSignature, length: Quarters, habit: tuple[int, int]
) -> tuple[tuple[Quarters, ...] | None, float]:
    """The onsets by the page's habit, or by another where that one fails, and the margin to the best
    different reading in nats."""
    costs: dict[tuple[Quarters, ...], float] = {}
    for pad, trail, prior in _HABITS:
        cost, reading = _cost(onsets, width, time, length, pad, trail)
        if reading is not None and cost <= _FAR_FETCHED * len(onsets):
            own = 0.0 if (pad, trail) == habit else 3.0 + prior
            costs[reading] = min(cost + own, costs.get(reading, math.inf))
    if not costs:
        return None, 0.0
    ranked = sorted((cost, reading) for reading, cost in costs.items())
    margin = ranked[1][0] - ranked[0][0] if len(ranked) > 1 else 8.0
    return ranked[0][1], margin


@lru_cache(maxsize=65536)
def _cost(
    onsets: tuple[int, ...], width: int, time: TimeSignature, length: Quarters, pad: int, trail: int
) -> tuple[float, tuple[Quarters, ...] | None]:
    """What a bar costs when its music is ``width - pad - trail`` columns wide; None where it falls off the
    grid."""
    scale = width - pad - trail
    if scale <= 0 or not onsets or onsets[0] < pad or onsets[-1] - pad >= scale:
        return _OFF_GRID, None
    times = tuple((column - pad) * length / scale for column in onsets)
    cost = 0.0
    for onset in times:
        level = _level(onset, time)
        if level is None:
            return _OFF_GRID, None
        cost += level
    if times[0] > 0:
        cost += 0.5
    families = {_family(onset, time) for onset in times}
    if len(families - {1}) > 1:
        cost += _MIXED
    return cost, times


def _level(onset: Quarters, time: TimeSignature) -> float | None:
    """The cost of an onset's metrical level; None for a place on no grid."""
    if onset == 0:
        return 0.0
    part = onset / beat_length(time)
    if is_compound(time):
        # The beat is a dotted note: its thirds are plain eighths.
        level = {1: 0.2, 3: 0.4, 2: 1.5, 6: 1.1, 12: 1.8}.get(part.denominator)
    else:
        level = _LEVELS.get(part.denominator)
    return level


def _family(onset: Quarters, time: TimeSignature) -> int:
    """1 for an onset on a beat, 2 for one on a straight part of it, 3 for one on a third or sixth."""
    part = (onset / beat_length(time)).denominator
    return 3 if part % 3 == 0 else min(part, 2)


def beat_length(time: TimeSignature) -> Quarters:
    """The length of a beat in quarter notes: dotted in compound metres."""
    return Fraction(12 if is_compound(time) else 4, time.unit)


def _no_contrast(bars: Sequence[BarColumns]) -> bool:
    """Whether all gaps are alike while the bars differ in width: then columns say only the order."""
    gaps = {later - earlier for bar in bars for earlier, later in pairwise(bar.onsets)}
    return len(gaps) == 1 and len({bar.width for bar in bars}) > 1


def _pickup_length(bars: Sequence[BarColumns], habit: tuple[int, int]) -> Quarters | None:
    """The length of a first bar that is narrower than all others, when those share one scale and the first
    holds a whole number of half beats at that scale."""
    if len(bars) < 3 or bars[0].letters or bars[0].counts:
        return None
    margin = sum(habit)
    scales = {Fraction(bar.width - margin) / bar.time.length for bar in bars[1:-1]}
    if len(scales) != 1:
        return None
    scale = scales.pop()
    length = (bars[0].width - margin) / scale if scale > 0 else ZERO
    half_beat = beat_length(bars[0].time) / 2
    if 0 < length < bars[0].time.length and (length / half_beat).denominator == 1:
        return length
    return None
