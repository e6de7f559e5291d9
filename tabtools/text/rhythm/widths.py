"""Bars whose width says something else than those of the page at large: one that ends early, whose rests are
not drawn, or whose notes stand close without regard for time looks like one with a scale of its own."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from fractions import Fraction
from math import gcd

from tabtools.text.rhythm.habit import Habit, Pattern, pattern
from tabtools.text.rhythm.metre import bar_ticks
from tabtools.text.rhythm.records import BarColumns
from tabtools.text.rhythm.timing import even_places, gaps

# How many bars show that all end close behind their last note, and what is close.
_SHOWN, _CLOSE = 3, 2
_BEAT, _HALF = 24, Fraction(1, 2)


def unlike(bars: Sequence[BarColumns], habit: Habit, short: Mapping[int, object]) -> set[int]:
    """The bars, by index, that are narrower than those of the page at large, where nothing shows that the
    writer gives bars scales of their own; ``short`` ones are none of them."""
    looks = [pattern(bar, habit.push) for bar in bars]
    scales = [Fraction(_BEAT * (one.width - habit.pad - habit.trail), bar_ticks(one.time)) for one in looks]
    whole = [index for index in range(len(bars)) if index not in short]
    usual = _usual(Counter(scales[index] for index in whole))
    if not usual:
        return set(whole) if len(whole) > 1 else set()
    narrow = {index for index in whole if scales[index] < usual}
    if _cut([bars[index] for index in whole]):
        least = min(gap for one in looks for gap in gaps(one.columns))
        return narrow | {index for index in whole if scales[index] == usual and habit.trail <= -least}
    grid = gcd(*(at - habit.pad for index in whole if scales[index] == usual for at in looks[index].columns))
    odd = [(looks[index], scales[index] / usual) for index in whole if scales[index] != usual]
    if _own_scales(odd, habit.pad, grid):
        return set()
    lines = [(one.time, one.width) for one in looks]
    return {
        index
        for index in narrow
        if _on_grid(looks[index], habit.pad, grid) or not _like_neighbour(index, lines, looks)
    }


def _usual(scales: Counter[Fraction]) -> Fraction:
    """The scale that most bars have, in columns a quarter note: one of whole columns before any other; 0
    where no two have the same."""
    often = [(scale.denominator == 1, times, scale) for scale, times in scales.items() if times > 1]
    return max(often)[2] if often else Fraction(0)


def _own_scales(odd: Sequence[tuple[Pattern, Fraction]], pad: int, grid: int) -> bool:
    """Whether bars of another scale, so many times that of the page, have it on purpose: they are wider, or
    stand off the page's grid, or all are a half or a quarter, and some tell long notes from short ones. Notes
    that stand as close as can be and fill no bar evenly show that nobody minds time in them."""
    tight = [one for one, _ in odd if not _tells(one) and one.width <= _CLOSE * (len(one.columns) + 1)]
    if any(even_places(len(one.columns), Fraction(bar_ticks(one.time), _BEAT)) is None for one in tight):
        return False
    told = [(one, times) for one, times in odd if _tells(one)]
    halved = len(told) > 1 and all(times in (_HALF, _HALF**2) for _, times in odd)
    return halved or any(
        times > 1 or (one not in tight and not _on_grid(one, pad, grid)) for one, times in odd
    )


def _on_grid(one: Pattern, pad: int, grid: int) -> bool:
    return not any((column - pad) % (grid or 1) for column in one.columns)


def _tells(one: Pattern) -> bool:
    wide = gaps(one.columns)
    return len(wide) > 1 and max(wide) > min(wide)


def _like_neighbour(index: int, lines: Sequence[object], looks: Sequence[Pattern]) -> bool:
    """Whether the bar before or behind is as wide, and one of both tells long notes from short ones."""
    beside = [at for at in (index - 1, index + 1) if 0 <= at < len(lines) and lines[at] == lines[index]]
    return any(_tells(looks[at]) or _tells(looks[index]) for at in beside)


def _cut(bars: Sequence[BarColumns]) -> bool:
    """Whether every bar ends close behind its last note although not all notes are alike: what the last one
    lasts longer is not drawn."""
    ends = [bar.width - bar.onsets[-1] - (bar.extents[-1].cell if bar.extents else 1) for bar in bars]
    wide = [gap for bar in bars for gap in gaps(bar.onsets)]
    return (
        max(ends, default=0) < _CLOSE and len(bars) >= _SHOWN and max(wide, default=0) > min(wide, default=0)
    )


def worded(bars: Sequence[BarColumns]) -> set[int]:
    """The bars, by index, with notes that are joined to the one before as close as they can stand, closer
    than any that are picked: such a run is typed as one word, and its notes have no columns of their own."""
    picked: list[int] = []
    runs: dict[int, int] = {}
    for index, bar in enumerate(bars):
        behind = zip(gaps(bar.onsets), bar.extents, bar.extents[1:], strict=False)
        for gap, before, after in behind:
            if not after.joined:
                picked.append(gap)
            elif gap <= before.cell + 1:
                runs[index] = min(gap, runs.get(index, gap))
    least = min(picked, default=0)
    return {index for index, gap in runs.items() if gap < least}
