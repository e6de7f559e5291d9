"""Bars that are short on purpose: a pick-up, and the last bar that it is taken from."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from fractions import Fraction

from tabtools.record import NamedTuple
from tabtools.text.rhythm.columns import beats_apart
from tabtools.text.rhythm.habit import Habit, pattern
from tabtools.text.rhythm.metre import bar_ticks
from tabtools.text.rhythm.records import BarColumns

# A short bar holds whole steps of so many ticks; a quarter note has _BEAT.
_STEP = 6
_BEAT = 24
# The shortest step in ticks, and how its step in one bar may relate to that of others.
_FINEST = 3
_REGRADED = (Fraction(1, 4), Fraction(1, 2), Fraction(1), Fraction(2), Fraction(4))


class Stretch(NamedTuple):
    """The part of its metre that a bar lasts, in ticks; ``certain`` is false where its width alone could also
    mean a longer one."""

    start: int
    length: int
    certain: bool = True


def suspects(bars: Sequence[BarColumns]) -> set[int]:
    """The first and the last bar, as far as they are narrower than all between them."""
    if len(bars) < 3:
        return set()
    least = min(bar.width for bar in bars[1:-1])
    return {index for index in (0, len(bars) - 1) if bars[index].width < least}


def stretches(bars: Sequence[BarColumns], habit: Habit) -> dict[int, Stretch]:
    """The bars that last less than their metre, by index, when the others are spaced by ``habit``.

    Where all others have one scale, a narrow first bar is short by that scale. Where each has a scale of its
    own, it is only when it would be denser than all of them. The last bar may complete the first: by the
    scale of the others, else each by a step of its own, so many times longer or shorter.
    """
    if len(bars) < 3 or habit.growth is not None:
        return {}
    first, last, whole = bars[0], bars[-1], bar_ticks(bars[0].time)
    spans = Counter(_span(bar, habit) for bar in bars[1:-1] if bar.time == first.time)
    scales = Counter({Fraction(span, whole): times for span, times in spans.items()})
    odd_end = last.time == first.time and _scale(last, habit) not in scales
    if not scales or _scale(first, habit) in scales or (not odd_end and 0 not in suspects(bars)):
        return {}
    lengths = [length for length in _lengths(first, habit, scales) if length < whole]
    if not odd_end:
        alone = len(scales) == 1 or _scale(first, habit) < min(scales)
        return {0: _pickup(whole, lengths[0], certain=len(lengths) == 1)} if lengths and alone else {}
    pairs, certain = _completing(first, last, habit, scales)
    if not pairs:
        return {0: _pickup(whole, lengths[0], certain=False)} if lengths and 0 in suspects(bars) else {}
    rest = Stretch(0, whole - pairs[0], certain)
    return {0: _pickup(whole, pairs[0], certain=certain), len(bars) - 1: rest}


def _completing(
    first: BarColumns, last: BarColumns, habit: Habit, scales: Counter[Fraction]
) -> tuple[list[int], bool]:
    """The ticks that a first bar may last so that the last one completes it, shortest first: those that need
    no other step than the bars between have, if there are such; and whether only one makes sense."""
    whole = bar_ticks(first.time)
    own, rests = _lengths(first, habit, scales), _lengths(last, habit, scales)
    same = sorted(length for length in own if whole - length in rests)
    if same:
        return same, len(same) == 1
    finer = {rest * factor for rest in rests for factor in _REGRADED}
    regraded = (length * factor for length in own for factor in _REGRADED)
    found = {int(length) for length in regraded if whole - length in finer and not length % _FINEST}
    return sorted(found), len(found) == 1 and whole not in finer


def _pickup(whole: int, length: int, *, certain: bool) -> Stretch:
    return Stretch(whole - length, length, certain)


def _lengths(bar: BarColumns, habit: Habit, scales: Counter[Fraction]) -> list[int]:
    """The ticks that a bar may last, by the commonest scale first."""
    found = [_length(bar, habit, scale) for scale, _ in scales.most_common()]
    return list(dict.fromkeys(length for length in found if length is not None))


def _scale(bar: BarColumns, habit: Habit) -> Fraction:
    """Columns of music a tick, if the bar is whole."""
    return Fraction(_span(bar, habit), bar_ticks(bar.time))


def _span(bar: BarColumns, habit: Habit) -> int:
    music = pattern(bar, habit.push).width - habit.pad - habit.trail
    return music - beats_apart(bar.time, bar_ticks(bar.time), habit.apart)


def _length(bar: BarColumns, habit: Habit, scale: Fraction) -> int | None:
    """The ticks that a bar lasts at a scale; None where they are no whole steps."""
    if scale <= 0:
        return None
    ticks = _span(bar, habit) / scale
    return int(ticks) if ticks > 0 and ticks.denominator == 1 and ticks % _STEP == 0 else None


def irregular(bars: Sequence[BarColumns], habit: Habit) -> bool:
    """Whether the widths make no sense in proportion: more than one bar in five does not divide into whole
    columns for a quarter note, and shares its width with no neighbour either."""
    spans = [(_span(bar, habit), bar.time) for bar in bars]
    odd = [
        index
        for index, (span, time) in enumerate(spans)
        if span * _BEAT % bar_ticks(time) and not _beside(spans, index)
    ]
    return 5 * len(odd) > len(bars)


def _beside(each: Sequence[object], index: int) -> bool:
    """Whether a bar has what one beside it has too."""
    return each[index] in (*each[:index][-1:], *each[index + 1 :][:1])
