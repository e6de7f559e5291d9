"""The metre of a part that names none: letters and counts tell it, else the columns must speak clearly."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from tabtools.score import COMMON_TIME, TimeSignature
from tabtools.text.rhythm.letters import read_letters, total
from tabtools.text.rhythm.records import BarColumns
from tabtools.text.rhythm.weighing import least_cost

# Likeliest first, with the nats that the columns must save against the first one to be believed.
_CANDIDATES = {
    COMMON_TIME: 0.0,
    TimeSignature(3, 4): 4.5,
    TimeSignature(6, 8): 6.0,
    TimeSignature(12, 8): 9.0,
}
_TWO_FOUR = TimeSignature(2, 4)
_COUNTED = {time.beats: time for time in (_TWO_FOUR, *list(_CANDIDATES)[:3], TimeSignature(5, 4))}
_COUNTED |= {beats: TimeSignature(beats, 8) for beats in (7, 9, 12)} | {8: COMMON_TIME}
_LENGTHS = {time.length: time for time in (TimeSignature(12, 8), _TWO_FOUR, TimeSignature(3, 4), COMMON_TIME)}
_FEWEST = 20
_MOST_A_NOTE = 1.0


def with_metre(bars: Sequence[BarColumns]) -> list[BarColumns]:
    """The bars with the metre that explains them best, in place of one that nothing on the page says."""
    assumed = [bar for bar in bars if bar.assumed and bar.onsets]
    if not assumed:
        return list(bars)
    time = _by_letters(assumed) or _by_counts(assumed) or _by_columns(assumed)
    return [bar._replace(time=time) if bar.assumed else bar for bar in bars]


def _by_letters(bars: Sequence[BarColumns]) -> TimeSignature | None:
    """The metre whose length most of the lettered bars have."""
    timings = [read_letters(bar) for bar in bars if bar.letters]
    lengths = Counter(total(timing) for timing in timings if timing is not None)
    if not lengths:
        return None
    length, times = lengths.most_common(1)[0]
    return _LENGTHS.get(length) if 2 * times > lengths.total() else None


def _by_counts(bars: Sequence[BarColumns]) -> TimeSignature | None:
    """As many beats as are counted, where every counted bar has the same number of them."""
    beats = {
        max((int(word) for _, word in bar.counts if word.isdigit()), default=0) for bar in bars if bar.counts
    }
    return _COUNTED.get(beats.pop()) if len(beats) == 1 else None


def _by_columns(bars: Sequence[BarColumns]) -> TimeSignature:
    open_bars = [bar for bar in bars if not bar.letters and not bar.counts]
    if sum(len(bar.onsets) for bar in open_bars) < _FEWEST:
        return COMMON_TIME
    costs = [
        (least_cost([bar._replace(time=time) for bar in open_bars]) + margin, number, time)
        for number, (time, margin) in enumerate(_CANDIDATES.items())
    ]
    cost, _, time = min(costs)
    # A metre that explains the page badly is no better than the commonest one.
    return time if cost < _MOST_A_NOTE * sum(len(bar.onsets) for bar in open_bars) else COMMON_TIME
