"""The writer's habit: what stands before the first note and behind the last step, what wide numbers do to
the columns behind them, and how exactly columns are kept. One habit serves a whole part.
"""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from itertools import product
from math import floor, log2

from tabtools.record import NamedTuple
from tabtools.score import TimeSignature
from tabtools.text.rhythm.columns import (
    CUT_OFF,
    EIGHTHS,
    GRID,
    SIXTEENTHS,
    SLIP_RATES,
    STRETCHED,
    THIRTY_SECONDS,
    Costs,
    Setting,
    Signature,
    beats_apart,
    cheapest_of,
    costs_of,
    ruler,
)
from tabtools.text.rhythm.metre import STRAIGHT, SWING, TRIPLETS, bar_ticks
from tabtools.text.rhythm.records import BarColumns
from tabtools.theory.duration import is_compound

# Columns before the first note and after the last step, with their costs in nats. Fewer than none after it:
# the last step is cut short, as by a writer who wants as much room before the bar line as behind it.
_PADS = {0: 1.0, 1: 0.0, 2: 1.0, 3: 3.0, 4: 5.0}
_TRAILS = {-4: 4.0, -3: 3.0, -2: 2.0, -1: 1.0, 0: 0.0, 1: 1.0, 2: 2.5, 3: 4.0}
# What wide numbers do: nothing, or push what follows by their further digits, by all they take, or where
# there is no room; or they end at their column instead of beginning there, and push only where there is no
# room, or never.
KEEP, DIGITS, CELLS, TIGHT, RIGHT, RIGHT_TIGHT = range(6)
_PUSHES = {KEEP: 0.0, DIGITS: 1.0, CELLS: 2.0, TIGHT: 2.0, RIGHT: 2.0, RIGHT_TIGHT: 2.5}
_WIDE_PAD = 6.0
# The cost of beats that stand apart, and of gaps that grow with the logarithm of the value.
_APART = (0.0, 4.0, 5.0)
_GROWN = 8.0
_WIDEST = Setting(SIXTEENTHS, TRIPLETS, STRETCHED, 2)
_SETTINGS = tuple(
    Setting(finest, style, law, rate)
    for finest in (EIGHTHS, SIXTEENTHS, THIRTY_SECONDS)
    for style in (STRAIGHT, TRIPLETS)
    for law in (GRID, STRETCHED, CUT_OFF)
    for rate in range(len(SLIP_RATES))
)
_PLAIN_SETTINGS = tuple(setting for setting in _SETTINGS if setting.style == STRAIGHT)
_SAMPLE = 64
_REPEATED = 0.4
# The longest step that a writer's whole columns are asked for, in ticks.
_STEP = 12
_UNEVEN = 0.7
_MANY_WIDTHS = 3
# From this rate of slips on whole columns a step explain a page badly.
_OFTEN = 2
_SIFTED, _NEAR, _MOST = 25.0, 15.0, 6


class Growth(NamedTuple):
    """Gaps of ``least`` columns after the ``shortest`` notes, in ticks, and ``doubling`` more after notes of
    twice the length."""

    least: int
    doubling: float
    shortest: int

    def columns(self, ticks: int) -> int:
        """The gap after a note."""
        return self.least + floor(self.doubling * log2(ticks / self.shortest) + 0.5)


class Habit(NamedTuple):
    """How a part is spaced: columns before the music and behind it, and which marks push what follows.
    ``apart`` columns stand before each beat beyond what time takes; ``growth`` is the law of the gaps where
    they are not in proportion."""

    pad: int
    trail: int
    push: int
    setting: Setting
    apart: int = 0
    growth: Growth | None = None

    @property
    def prior(self) -> float:
        """The cost of the habit itself, in nats."""
        prior = _PUSHES[self.push] + _APART[self.apart] + self.setting.prior
        return prior + (
            _PADS.get(self.pad, _WIDE_PAD) + _TRAILS[self.trail] if self.growth is None else _GROWN
        )


class Pattern(NamedTuple):
    """What the columns of a bar look like, wide numbers taken back: equal patterns are read once."""

    time: TimeSignature
    start: int
    length: int
    width: int
    columns: tuple[int, ...]


def pattern(bar: BarColumns, push: int, start: int = 0, length: int = 0) -> Pattern:
    """The columns of a bar as if every number had one digit, for a writer whose numbers push as said; the
    bar begins at tick ``start`` of its metre and lasts ``length`` ticks (0: whole)."""
    length = length or bar_ticks(bar.time)
    if push == KEEP or not bar.extents:
        return Pattern(bar.time, start, length, bar.width, bar.onsets)
    columns, shift = _ended(bar, push) if push in (RIGHT, RIGHT_TIGHT) else _taken_back(bar, push)
    return Pattern(bar.time, start, length, bar.width - shift, tuple(columns))


def _taken_back(bar: BarColumns, push: int) -> tuple[list[int], int]:
    """The columns without what wide numbers push, and what they push in all."""
    columns, shift = [], 0
    ends = [*bar.onsets[1:], bar.width]
    for column, extent, end in zip(bar.onsets, bar.extents, ends, strict=True):
        columns.append(column - shift)
        size = extent.digits if push == DIGITS else extent.cell
        if push != TIGHT or end - column <= size + 1:
            shift += size - 1
    return columns, shift


def _ended(bar: BarColumns, push: int) -> tuple[list[int], int]:
    """The columns where numbers end; one hyphen before a wide number can mean that it was pushed."""
    columns: list[int] = []
    shift, free = 0, 0
    for column, extent in zip(bar.onsets, bar.extents, strict=True):
        if push == RIGHT_TIGHT and columns and column - free <= 1:
            shift += extent.digits - 1
        free = column + extent.digits
        columns.append(free - 1 - shift)
    return columns, shift


class Candidate(NamedTuple):
    """A habit whose setting is still open: how often each kind of column occurs with it, and what it costs
    that widths do not divide into whole columns a step (``uneven``), or do though they need not."""

    habit: Habit
    signatures: dict[Signature, float]
    uneven: float
    whole: float

    @property
    def own(self) -> float:
        """The cost of the habit without that of a setting."""
        return self.habit.prior - self.habit.setting.prior

    def law(self, setting: Setting) -> float:
        """The cost of the widths under a law of spacing."""
        return self.uneven if setting.law == GRID else self.whole


def choose_habits(bars: Sequence[BarColumns]) -> list[tuple[float, Habit]]:
    """The habits that explain single columns best, best first, each with the cost in nats of what single
    columns do not show: prior and widths. The bars of a long part are sampled. Beats that stand apart are
    thought of where whole columns a step do not explain the page."""
    bars = sample(bars)
    if not bars:
        return [(0.0, Habit(1, 0, KEEP, _SETTINGS[0]))]
    settings = _PLAIN_SETTINGS if all(is_compound(bar.time) for bar in bars) else _SETTINGS
    found = _ranked(_sift(bars, (0,)), settings)
    setting = found[0][1].setting
    badly = setting.law != GRID or setting.rate >= _OFTEN
    if badly or of_many_widths(bars, found[0][1].push, _MANY_WIDTHS):
        whole = [one for one in settings if one.law == GRID]
        found = sorted(found + _ranked(_sift(bars, (1, 2)), whole), key=lambda item: item[0])
    # Single columns flatter the laws that round: whole columns a step are always weighed too.
    exact = next((item for item in found[_MOST:] if item[1].setting.law == GRID), None)
    tried = found[:_MOST] if exact is None or _has_grid(found[:_MOST]) else [*found[:_MOST], exact]
    near = [item for item in tried if item[0] < found[0][0] + _NEAR]
    return [(one.prior + law, one) for _, habit, law in near for one in _either_thirds(habit)]


def _has_grid(found: Iterable[tuple[float, Habit, float]]) -> bool:
    return any(habit.setting.law == GRID for _, habit, _ in found)


def of_many_widths(bars: Iterable[BarColumns], push: int, many: int) -> bool:
    """Whether bars of one metre are of so many widths or more, wide numbers taken back."""
    widths = Counter(time for time, _ in {(bar.time, pattern(bar, push).width) for bar in bars})
    return max(widths.values(), default=0) >= many


def _ranked(candidates: Iterable[Candidate], settings: Sequence[Setting]) -> list[tuple[float, Habit, float]]:
    """(cost, habit, cost of the widths) of the candidates with their best settings, best first; without those
    that cannot be among the few that are asked for."""
    cheapest = cheapest_of(_SETTINGS)
    bounds = sorted(
        ((one.own + cheapest.total(one.signatures), at, one) for at, one in enumerate(candidates)),
        key=lambda item: item[:2],
    )
    found: list[tuple[float, Habit, float]] = []
    for bound, _, candidate in bounds:
        if len(found) >= _MOST and bound > found[_MOST - 1][0]:
            break
        found += [
            (cost, habit, candidate.law(habit.setting)) for cost, habit in _settled(candidate, settings)
        ]
        found.sort(key=lambda item: item[:2])
    return found


def _either_thirds(habit: Habit) -> list[Habit]:
    """Single onsets do not tell a page of triplets from one that swings: both are tried."""
    setting = habit.setting
    if setting.style == STRAIGHT:
        return [habit]
    return [habit._replace(setting=setting._replace(style=style)) for style in (TRIPLETS, SWING)]


def sample(bars: Sequence[BarColumns]) -> Sequence[BarColumns]:
    """Bars from all over a long part, those that have notes."""
    useful = [bar for bar in bars if bar.onsets]
    return useful[:: max(1, len(useful) // _SAMPLE)]


def _sift(bars: Sequence[BarColumns], aparts: Sequence[int]) -> list[Candidate]:
    """The habits that are not far behind the best at the widest setting."""
    found: list[tuple[float, Candidate]] = []
    costs = costs_of(_WIDEST)
    first = max(min(bar.onsets[0] for bar in bars), 0)
    seen: list[list[Pattern]] = []
    for push in _PUSHES:
        patterns = [pattern(bar, push) for bar in bars]
        if patterns in seen:
            continue
        seen.append(patterns)
        groups = _groups(patterns)
        for pad in (pad for pad in _PADS if pad <= first + 1):
            for trail, apart in product(_TRAILS, aparts):
                candidate = _candidate(groups, Habit(pad, trail, push, _WIDEST, apart))
                cost = costs.total(candidate.signatures)
                found.append((cost + candidate.habit.prior, candidate))
    limit = min(cost for cost, _ in found) + _SIFTED
    return [candidate for cost, candidate in found if cost < limit]


Groups = dict[tuple[TimeSignature, int], dict[int, float]]


def _groups(patterns: Iterable[Pattern]) -> Groups:
    """How often each column occurs in bars of one metre and width; a bar that repeats another counts less."""
    groups: Groups = {}
    for one, times in Counter(patterns).items():
        weight = 1 + _REPEATED * (times - 1)
        columns = groups.setdefault((one.time, one.width), {})
        for column in one.columns:
            columns[column] = columns.get(column, 0.0) + weight
    return groups


def _candidate(groups: Groups, habit: Habit) -> Candidate:
    found: dict[Signature, float] = {}
    uneven = whole = 0.0
    for (time, width), columns in groups.items():
        length = bar_ticks(time)
        span = width - habit.pad - habit.trail
        music = span - beats_apart(time, length, habit.apart)
        if music <= 0:
            found[()] = found.get((), 0.0) + sum(columns.values())
            continue
        if music * _STEP % length:
            uneven += _UNEVEN
        elif music * _STEP >= 2 * length:
            whole += math.log(length / _STEP)
        signature = ruler(time, 0, length, span, habit.apart).signature
        for column, count in columns.items():
            one = signature(column - habit.pad)
            found[one] = found.get(one, 0.0) + count
    return Candidate(habit, found, uneven, whole)


def _settled(candidate: Candidate, settings: Iterable[Setting]) -> Iterator[tuple[float, Habit]]:
    """The candidate with the cheapest setting of every slip rate, and the costs of those."""
    best: dict[int, tuple[float, Setting]] = {}
    signatures = candidate.signatures
    for setting, prior, costs in _priced(tuple(settings)):
        cost = (
            prior + costs.total(signatures) + (candidate.uneven if setting.law == GRID else candidate.whole)
        )
        if setting.rate not in best or cost < best[setting.rate][0]:
            best[setting.rate] = cost, setting
    for cost, setting in best.values():
        yield candidate.own + cost, candidate.habit._replace(setting=setting)


@lru_cache(maxsize=8)
def _priced(settings: tuple[Setting, ...]) -> list[tuple[Setting, float, Costs]]:
    """The settings with their own costs and those of what columns they explain."""
    return [(setting, setting.prior, costs_of(setting)) for setting in settings]
