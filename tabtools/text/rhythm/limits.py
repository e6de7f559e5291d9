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
from tabtools.theory.duration import is_compound

_THREE = 3
_CLOSEST = 2
_EIGHTH = 12
_FEW = 4


def bounded(
    readings: Sequence[Reading | None],
    bars: Sequence[BarColumns],
    short: Mapping[int, Stretch],
    extra: Mapping[int, int],
    habit: Habit,
) -> Iterator[Reading | None]:
    """The readings, no surer than the page allows; ``short`` bars, and ``extra`` columns, by index."""
    tight = is_tight(bars)
    odd = not extra and habit.growth is None and irregular(bars, habit)
    most = CAPPED if odd else UNCLEAR if tight else 1.0
    loose_thirds = finds_thirds(habit)
    lead = min((bar.onsets[0] for bar in bars), default=0)
    narrowest = _narrowest(sample(bars), habit.push)
    for index, reading in enumerate(readings):
        if reading is None:
            yield None
            continue
        bar, stretch = bars[index], short.get(index)
        limit = most if stretch is None or stretch.certain or len(reading.ticks) == 1 else CAPPED
        thirds = None if is_compound(bar.time) else in_threes(reading.ticks, reading.length)
        if thirds is not None:
            reading, limit = reading._replace(ticks=thirds, other=reading.ticks), CAPPED
        if (tight and any(tick % THIRTY_SECOND for tick in reading.ticks)) or bar.doubtful:
            limit = CAPPED
        led = reading.ticks[0] == 0 and bar.onsets[0] > lead
        if loose_thirds and not is_compound(bar.time) and any(tick % THIRTY_SECOND for tick in reading.ticks):
            limit = CAPPED
        three = () if led else _squeezed(bar, reading.ticks)
        if three and 0 < pattern(bar, habit.push).width - narrowest.get(bar.time, 0) <= _FEW:
            reading, limit = reading._replace(other=three), CAPPED
        yield reading._replace(confidence=min(reading.confidence, limit), short=stretch is not None)


def finds_thirds(habit: Habit) -> bool:
    """Whether a writer's columns are so free that thirds can be found in any bar: they round and slip, or
    round and swing, or their gaps grow."""
    setting = habit.setting
    rounds = setting.law != GRID and (setting.rate > 0 or setting.style == SWING)
    return rounds or habit.growth is not None


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
