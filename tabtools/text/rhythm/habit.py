"""The writer's habit: what stands before the first note and behind the last step, what wide numbers do to
the columns behind them, and how exactly columns are kept. One habit serves a whole part.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from math import floor, log2

from tabtools.record import NamedTuple
from tabtools.score import TimeSignature
from tabtools.text.rhythm.columns import Setting
from tabtools.text.rhythm.metre import TICKS, bar_ticks
from tabtools.text.rhythm.records import BarColumns

# Columns before the first note and after the last step, with their costs in nats. Fewer than none after it:
# the last step is cut short, as by a writer who wants as much room before the bar line as behind it.
PADS = {0: 1.0, 1: 0.0, 2: 1.0, 3: 3.0, 4: 5.0}
TRAILS = {-4: 4.0, -3: 3.0, -2: 2.0, -1: 1.0, 0: 0.0, 1: 1.0, 2: 2.5, 3: 4.0}
# What wide numbers do: nothing, or push what follows by their further digits, by all they take, or where
# there is no room; or they end at their column instead of beginning there, and push only where there is no
# room, or never. Where hyphens stand for time, every number pushes by a column, or by all its digits.
KEEP, DIGITS, CELLS, TIGHT, RIGHT, RIGHT_TIGHT, EACH, EACH_DIGIT = range(8)
PUSHES = {
    KEEP: 0.0,
    DIGITS: 1.0,
    CELLS: 2.0,
    TIGHT: 2.0,
    RIGHT: 2.0,
    RIGHT_TIGHT: 2.5,
    EACH: 4.0,
    EACH_DIGIT: 4.5,
}
_WIDE_PAD = _WIDE_TRAIL = 6.0
# The cost of beats that stand apart, and of gaps that grow with the logarithm of the value.
_APART = (0.0, 4.0, 5.0)
_GROWN = 8.0
_SCALE = 4.0
# What a bar costs whose end is so many columns off, and one that ends close behind its last note.
_ENDS = {0: 0.0, -1: 1.5, 1: 1.5, 2: 2.5, 3: 3.0}
_FAR_END, _TRIMMED, _CLOSE = 5.0, 2.0, 2
# How many columns later a bar may begin, and what that costs.
_LED, _LATER = 3, 1.0
_SAMPLE = 64


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
    they are not in proportion. ``quarter`` is what a quarter note takes all over the part, 0 where each bar's
    width tells."""

    pad: int
    trail: int
    push: int
    setting: Setting
    apart: int = 0
    growth: Growth | None = None
    quarter: int = 0

    @property
    def prior(self) -> float:
        """The cost of the habit itself, in nats."""
        prior = PUSHES[self.push] + _APART[self.apart] + self.setting.prior
        if self.growth is not None:
            return prior + _GROWN
        if self.quarter:
            return prior + _SCALE + PADS.get(self.pad, _WIDE_PAD)
        return prior + PADS.get(self.pad, _WIDE_PAD) + TRAILS.get(self.trail, _WIDE_TRAIL)

    def span(self, time: TimeSignature, length: int, width: int) -> int:
        """The columns that the music of a bar takes which is so many ticks long, and so wide; 0 where it has
        no room or takes no whole columns."""
        if not self.quarter:
            return max(width - self.pad - self.trail, 0)
        columns, rest = divmod(self.quarter * length, TICKS)
        return 0 if rest else columns


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
    if push == EACH or (push == EACH_DIGIT and not bar.extents):
        columns = tuple(column - at for at, column in enumerate(bar.onsets))
        return Pattern(bar.time, start, length, bar.width - len(columns), columns)
    if push == KEEP or not bar.extents:
        return Pattern(bar.time, start, length, bar.width, bar.onsets)
    found, shift = _ended(bar, push) if push in (RIGHT, RIGHT_TIGHT) else _taken_back(bar, push)
    return Pattern(bar.time, start, length, bar.width - shift, tuple(found))


def _taken_back(bar: BarColumns, push: int) -> tuple[list[int], int]:
    """The columns without what wide numbers push, and what they push in all."""
    columns, shift = [], 0
    ends = [*bar.onsets[1:], bar.width]
    for column, extent, end in zip(bar.onsets, bar.extents, ends, strict=True):
        columns.append(column - shift)
        size = extent.digits if push in (DIGITS, EACH_DIGIT) else extent.cell
        if push != TIGHT or end - column <= size + 1:
            shift += size - (push != EACH_DIGIT)
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


def _more(one: Pattern, habit: Habit) -> int:
    """The columns that a bar is wider than its music and what stands around it."""
    return one.width - habit.pad - habit.trail - habit.span(one.time, one.length, one.width)


def led(one: Pattern, habit: Habit) -> int:
    """How many columns later than others a bar begins, where it is as much wider and all have one scale."""
    more = _more(one, habit) if habit.quarter and one.columns else 0
    return more if 0 < more <= _LED and one.columns[0] == habit.pad + more else 0


def end_cost(one: Pattern, habit: Habit) -> float:
    """What it costs, in nats, that a bar does not end where its music does; nothing where its width tells."""
    if not habit.quarter:
        return 0.0
    if led(one, habit):
        return _LATER
    more = _more(one, habit)
    cost = _ENDS.get(more, _FAR_END)
    close = more < 0 and one.columns and one.width - one.columns[-1] <= _CLOSE
    return min(cost, _TRIMMED) if close else cost


def spreads_widths(bars: Sequence[BarColumns], push: int, other: int) -> bool:
    """Whether bars are of more widths to a writer whose numbers push in one way than to one of another."""
    one, two = (len({(bar.time, pattern(bar, each).width) for bar in bars}) for each in (push, other))
    return one > two


def of_many_widths(bars: Iterable[BarColumns], push: int, many: int) -> bool:
    """Whether bars of one metre are of so many widths or more, wide numbers taken back."""
    widths = Counter(time for time, _ in {(bar.time, pattern(bar, push).width) for bar in bars})
    return max(widths.values(), default=0) >= many


def sample(bars: Sequence[BarColumns]) -> Sequence[BarColumns]:
    """Bars from all over a long part, those that have notes."""
    useful = [bar for bar in bars if bar.onsets]
    return useful[:: max(1, len(useful) // _SAMPLE)]
