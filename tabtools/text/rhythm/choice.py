"""Which habits may be a writer's, as far as the single columns of a page tell."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache

from tabtools.text.rhythm.columns import (
    CUT_OFF,
    EIGHTHS,
    GRID,
    SIXTEENTHS,
    SLIP_RATES,
    STRETCHED,
    THIRTY_SECONDS,
    Setting,
    beats_apart,
    cheapest_of,
    costs_of,
)
from tabtools.text.rhythm.habit import (
    EACH,
    EACH_DIGIT,
    KEEP,
    TRAILS,
    Habit,
    of_many_widths,
    pattern,
    sample,
    spreads_widths,
)
from tabtools.text.rhythm.metre import STRAIGHT, SWING, TICKS, TRIPLETS, bar_ticks
from tabtools.text.rhythm.records import BarColumns
from tabtools.text.rhythm.sifting import Groups, cost_of_columns, sift, signatures
from tabtools.text.rhythm.timing import gaps
from tabtools.theory.duration import is_compound

_SETTINGS = tuple(
    Setting(finest, style, law, rate)
    for finest in (EIGHTHS, SIXTEENTHS, THIRTY_SECONDS)
    for style in (STRAIGHT, TRIPLETS)
    for law in (GRID, STRETCHED, CUT_OFF)
    for rate in range(len(SLIP_RATES))
)
_PLAIN_SETTINGS = tuple(setting for setting in _SETTINGS if setting.style == STRAIGHT)
# The longest step that a writer's whole columns are asked for, in ticks.
_STEP = 12
_UNEVEN = 0.7
_MANY_WIDTHS = 3
# From this rate of slips on whole columns a step explain a page badly.
_OFTEN = 2
_NEAR, _MOST = 15.0, 6
# How many scales are tried that all bars of a part may have.
_SCALES = 4
# What sums of the same costs in another order may differ by.
_ROUNDING = 1e-9


def choose_habits(bars: Sequence[BarColumns]) -> list[tuple[float, Habit]]:
    """The habits that explain single columns best, best first, each with the cost in nats of what single
    columns do not show: prior and widths. The bars of a long part are sampled. Beats that stand apart are
    thought of where whole columns a step do not explain the page."""
    bars = sample(bars)
    if not bars:
        return [(0.0, Habit(1, 0, KEEP, _SETTINGS[0]))]
    settings = _PLAIN_SETTINGS if all(is_compound(bar.time) for bar in bars) else _SETTINGS
    found = _ranked(sift(bars), settings)
    if trails := _wide_trails(bars):
        found += _ranked(sift(bars, trails=trails), [one for one in settings if one.law == GRID])
        found.sort(key=lambda item: item[0])
    setting = found[0][1].setting
    badly = setting.law != GRID or setting.rate >= _OFTEN
    if badly or of_many_widths(bars, found[0][1].push, _MANY_WIDTHS):
        whole = [one for one in settings if one.law == GRID]
        push = found[0][1].push
        found += _ranked(sift(bars, aparts=(1, 2)), whole)
        # Where hyphens stand for time, it is the notes that make bars of one length unequally wide.
        if any(spreads_widths(bars, push, each) for each in (EACH, EACH_DIGIT)):
            found += _ranked(sift(bars, each=True), whole)
        found.sort(key=lambda item: item[0])
    # Single columns flatter the laws that round: whole columns a step are always weighed too.
    exact = next((item for item in found[_MOST:] if item[1].setting.law == GRID), None)
    tried = found[:_MOST] if exact is None or _has_grid(found[:_MOST]) else [*found[:_MOST], exact]
    near = [item for item in tried if item[0] < found[0][0] + _NEAR]
    return [(one.prior + law, one) for _, habit, law in near for one in _either_thirds(habit)]


def one_scale(bars: Sequence[BarColumns], habits: Iterable[Habit]) -> list[tuple[float, Habit]]:
    """The habits of a writer who keeps to one scale all over the part, whatever the widths of the bars: by
    the scales that most of them have to the writers that their widths tell of."""
    bars = sample(bars)
    lead = min(bar.onsets[0] for bar in bars)
    pushes = {KEEP, *(habit.push for habit in habits if habit.push not in (EACH, EACH_DIGIT))}
    frames = {(habit.pad, habit.trail, habit.push) for habit in habits if habit.push in pushes}
    frames |= {(lead, 0, push) for push in pushes}
    votes = Counter(
        quarter
        for pad, trail, push in sorted(frames)
        for bar in bars
        if (quarter := _quarter(bar, Habit(pad, trail, push, _SETTINGS[0])))
    )
    quarters = [quarter for quarter, _ in votes.most_common(_SCALES)]
    if not quarters:
        return []
    compound = all(is_compound(bar.time) for bar in bars)
    whole = [one for one in (_PLAIN_SETTINGS if compound else _SETTINGS) if one.law == GRID]
    near = _ranked(sift(bars, trails=(0,), quarters=quarters), whole)[:_MOST]
    tried = [_with_trail(habit, bars) for _, habit, _ in near]
    return [(habit.prior, habit) for likely in tried for habit in _either_thirds(likely)]


def _quarter(bar: BarColumns, habit: Habit) -> int:
    """The whole columns that a quarter note takes in a bar by its width; 0 where they are none."""
    music = pattern(bar, habit.push).width - habit.pad - habit.trail
    columns, rest = divmod(music * TICKS, bar_ticks(bar.time))
    return columns if columns > 1 and not rest else 0


def _with_trail(habit: Habit, bars: Sequence[BarColumns]) -> Habit:
    """The habit with the columns behind the music that most bars have."""
    over: Counter[int] = Counter()
    for bar in bars:
        one = pattern(bar, habit.push)
        over[one.width - habit.pad - habit.span(one.time, one.length, one.width)] += 1
    usual = max(over, key=lambda more: (over[more], -abs(more)))
    return habit._replace(trail=usual if usual in TRAILS else 0)


def _wide_trails(bars: Sequence[BarColumns]) -> list[int]:
    """The columns, more than habits have behind the music, that all bars leave empty at their end beside the
    least gap: so do bars that are filled up to some round width."""
    least = min((gap for bar in bars for gap in gaps(bar.onsets)), default=0)
    spare = min(bar.width - bar.onsets[-1] for bar in bars) - least
    return list(range(max(TRAILS) + 1, spare + 1)) if least else []


def _has_grid(found: Iterable[tuple[float, Habit, float]]) -> bool:
    return any(habit.setting.law == GRID for _, habit, _ in found)


def _ranked(
    candidates: Iterable[tuple[Habit, Groups]], settings: Sequence[Setting]
) -> list[tuple[float, Habit, float]]:
    """(cost, habit, cost of the widths) of the candidates with their best settings, best first; without those
    that cannot be among the few that are asked for."""
    cheapest = cheapest_of(_SETTINGS)
    bounds = sorted(
        (
            (cost_of_columns(groups, habit, cheapest, _own(habit)), at, habit, groups)
            for at, (habit, groups) in enumerate(candidates)
        ),
        key=lambda item: item[:2],
    )
    found: list[tuple[float, Habit, float]] = []
    for bound, _, habit, groups in bounds:
        if len(found) >= _MOST and bound > found[_MOST - 1][0]:
            break
        # Dearer ones than the last that is asked for are no use, once whole columns are among them.
        most = found[_MOST - 1][0] if len(found) >= _MOST and _has_grid(found[:_MOST]) else math.inf
        found += _settled(habit, groups, settings, most)
        found.sort(key=lambda item: item[:2])
    return found


def _own(habit: Habit) -> float:
    """The cost of a habit without that of its setting."""
    return habit.prior - habit.setting.prior


def _either_thirds(habit: Habit) -> list[Habit]:
    """Single onsets do not tell a page of triplets from one that swings: both are tried."""
    setting = habit.setting
    if setting.style == STRAIGHT:
        return [habit]
    return [habit._replace(setting=setting._replace(style=style)) for style in (TRIPLETS, SWING)]


def _settled(
    habit: Habit, groups: Groups, settings: Sequence[Setting], most: float
) -> Iterator[tuple[float, Habit, float]]:
    """The habit with the cheapest setting of every slip rate: (cost, habit, cost of the widths); what is
    dearer than ``most`` may be left out."""
    columns = signatures(groups, habit)
    uneven, whole = _widths(groups, habit)
    own = _own(habit)
    for some in _by_rate(tuple(settings)):
        least = own + cheapest_of(some).total(columns)
        best, found = most, None
        for setting in some:
            base = setting.prior + (uneven if setting.law == GRID else whole)
            if least + base > best + _ROUNDING:
                continue
            cost = own + base + costs_of(setting).total(columns)
            if found is None or cost < best:
                best, found = cost, setting
        if found is not None:
            yield best, habit._replace(setting=found), uneven if found.law == GRID else whole


@lru_cache(maxsize=8)
def _by_rate(settings: tuple[Setting, ...]) -> list[tuple[Setting, ...]]:
    """The settings of each slip rate."""
    rates = range(len(SLIP_RATES))
    return [tuple(setting for setting in settings if setting.rate == rate) for rate in rates]


def _widths(groups: Groups, habit: Habit) -> tuple[float, float]:
    """What it costs that widths do not divide into whole columns a step, or do though they need not."""
    uneven = whole = 0.0
    for time, width, _, _ in groups:
        length = bar_ticks(time)
        music = width - habit.pad - habit.trail - beats_apart(time, length, habit.apart)
        if music > 0 and music * _STEP % length:
            uneven += _UNEVEN
        elif music * _STEP >= 2 * length:
            whole += math.log(length / _STEP)
    return uneven, whole
