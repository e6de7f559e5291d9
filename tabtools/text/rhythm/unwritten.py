"""The metre of a part that names none: letters and counts tell it, else the columns must speak clearly."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from tabtools.score import COMMON_TIME, TimeSignature
from tabtools.text.rhythm.letters import read_letters, total
from tabtools.text.rhythm.records import MOST_ONSETS, BarColumns
from tabtools.text.rhythm.weighing import least_cost

# Likeliest first, with the nats that the columns must save against the first one to be believed.
_CANDIDATES = {
    COMMON_TIME: 0.0,
    TimeSignature(3, 4): 4.5,
    TimeSignature(6, 8): 6.0,
    TimeSignature(12, 8): 14.0,
}
_TWO_FOUR = TimeSignature(2, 4)
_COUNTED = {time.beats: time for time in (_TWO_FOUR, *list(_CANDIDATES)[:3], TimeSignature(5, 4))}
_COUNTED |= {beats: TimeSignature(beats, 8) for beats in (7, 9, 12)} | {8: COMMON_TIME}
_LENGTHS = {time.length: time for time in (TimeSignature(12, 8), _TWO_FOUR, TimeSignature(3, 4), COMMON_TIME)}
_FEWEST = 20
_MOST_A_NOTE = 1.0
# A metre of another length within so many nats leaves the chosen one in doubt.
_NEAR = 3.0


def with_metre(bars: Sequence[BarColumns]) -> list[BarColumns]:
    """The bars with the metre that explains them best, in place of one that nothing on the page says."""
    assumed = [bar for bar in bars if bar.assumed and bar.onsets]
    if not assumed:
        return list(bars)
    told = _by_letters(assumed) or _by_counts(assumed)
    time, doubtful = (told, False) if told else _by_columns(assumed)
    return [
        bar._replace(time=time, doubtful=doubtful or bar.doubtful) if bar.assumed else bar for bar in bars
    ]


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


def _by_columns(bars: Sequence[BarColumns]) -> tuple[TimeSignature, bool]:
    """The metre that explains the columns best, and whether another one does nearly as well."""
    bars = [bar for bar in bars if len(bar.onsets) <= MOST_ONSETS]
    open_bars = [bar for bar in bars if not bar.letters and not bar.counts]
    onsets = sum(len(bar.onsets) for bar in open_bars)
    if onsets < _FEWEST:
        return COMMON_TIME, False
    costs = sorted(
        (least_cost([bar._replace(time=time) for bar in open_bars]) + margin, number, time)
        for number, (time, margin) in enumerate(_CANDIDATES.items())
    )
    cost, _, time = costs[0]
    # A metre that explains the page badly is no better than the commonest one.
    if cost >= _MOST_A_NOTE * onsets:
        return COMMON_TIME, True
    return time, any(more < cost + _NEAR and other.length != time.length for more, _, other in costs[1:])
