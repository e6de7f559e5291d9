"""What limits the confidence of a reading from outside its bar."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from tabtools.score import TimeSignature
from tabtools.text.rhythm.columns import GRID
from tabtools.text.rhythm.even import in_threes, is_tight
from tabtools.text.rhythm.habit import Habit, pattern, sample
from tabtools.text.rhythm.metre import SWING, THIRTY_SECOND, TICKS
from tabtools.text.rhythm.records import CAPPED, UNCLEAR, BarColumns
from tabtools.text.rhythm.settling import Reading
from tabtools.text.rhythm.short import Stretch, irregular
from tabtools.text.rhythm.widths import unlike, worded
from tabtools.theory.duration import is_compound

_THREE = 3
_CLOSEST = 2
_EIGHTH = 12
_FEW = 4
# What three notes of a group last together, in ticks.
_SPANS = (12, 24, 48)


def bounded(
    readings: Sequence[Reading | None],
    bars: Sequence[BarColumns],
    short: Mapping[int, Stretch],
    extra: Mapping[int, int],
    habit: Habit,
) -> Iterator[Reading | None]:
    """The readings, no surer than the page allows; ``short`` bars, and ``extra`` columns, by index."""
    tight = is_tight(bars)
    slight = {index for index, more in extra.items() if more >= -1}
    odd = worded(bars)
    if habit.growth is None:
        odd |= unlike(bars, habit, short) - slight
        if not extra and irregular([bar for index, bar in enumerate(bars) if index not in short], habit):
            odd |= {index for index, bar in enumerate(bars) if any(extent.cell > 1 for extent in bar.extents)}
    most = UNCLEAR if tight else 1.0
    lead = min((bar.onsets[0] for bar in bars), default=0)
    narrowest = _narrowest(sample(bars), habit.push)
    for index, reading in enumerate(readings):
        if reading is None:
            yield None
            continue
        bar, stretch = bars[index], short.get(index)
        limit = most if stretch is None or stretch.certain or len(reading.ticks) == 1 else CAPPED
        limit = min(limit, CAPPED) if index in odd else limit
        thirds = None if is_compound(bar.time) else in_threes(reading.ticks, reading.length)
        if thirds is not None:
            reading, limit = reading._replace(ticks=thirds, other=reading.ticks), CAPPED
        if (tight and any(tick % THIRTY_SECOND for tick in reading.ticks)) or bar.doubtful:
            limit = CAPPED
        led = reading.ticks[0] == 0 and bar.onsets[0] > lead
        if not is_compound(bar.time) and not _trusted(reading.ticks, habit):
            limit = CAPPED
        three = () if led else _squeezed(bar, reading.ticks)
        if three and 0 < pattern(bar, habit.push).width - narrowest.get(bar.time, 0) <= _FEW:
            reading, limit = reading._replace(other=three), CAPPED
        yield reading._replace(confidence=min(reading.confidence, limit), short=stretch is not None)


def _trusted(ticks: Sequence[int], habit: Habit) -> bool:
    """Whether what thirds a reading has can be believed. Never of a writer whose columns are so free that any
    bar has some: who rounds, or sets beats apart, and slips or swings besides, or whose gaps grow. Of one who
    only rounds or slips, groups are that have all three."""
    thirds = [tick for tick in ticks if tick % THIRTY_SECOND]
    setting = habit.setting
    freely = setting.law != GRID or habit.apart > 0
    if not thirds or not (freely or setting.rate or habit.growth):
        return True
    if habit.growth or (freely and (setting.rate or setting.style == SWING)):
        return False
    needed = (0, 2) if setting.style == SWING else (0, 1, 2)
    return all(any(_grouped(ticks, tick, span, needed) for span in _SPANS) for tick in thirds)


def _grouped(ticks: Sequence[int], tick: int, span: int, needed: Sequence[int]) -> bool:
    """Whether a note is at a third of a span of time of which the ``needed`` thirds sound."""
    start, third = tick // span * span, span // _THREE
    return tick in {start + number * third for number in needed} and all(
        start + number * third in ticks for number in needed
    )


def _narrowest(bars: Sequence[BarColumns], push: int) -> dict[TimeSignature, int]:
    """The least width of a bar in each metre, wide numbers taken back."""
    least: dict[TimeSignature, int] = {}
    for bar in bars:
        width = pattern(bar, push).width
        least[bar.time] = min(width, least.get(bar.time, width))
    return least


def _squeezed(bar: BarColumns, ticks: Sequence[int]) -> tuple[int, ...]:
    """The reading with the first three close eighths from a beat on as thirds of it, where there are such: no
    fewer columns hold three notes, so that they may be what makes a bar a little wider than others."""
    onsets = bar.onsets
    for at, tick in enumerate(ticks[: len(ticks) - 2]):
        if tick % TICKS or (ticks[at + 1] - tick, ticks[at + 2] - tick) != (_EIGHTH, TICKS):
            continue
        close = onsets[at + 2] - onsets[at + 1] == onsets[at + 1] - onsets[at] == _CLOSEST
        if close and not is_compound(bar.time):
            thirds = tuple(tick + number * TICKS // _THREE for number in range(_THREE))
            return (*ticks[:at], *thirds, *ticks[at + _THREE :])
    return ()
