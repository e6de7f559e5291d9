"""A written metre that every bar of a part contradicts: the bars are believed, for the header is one slip and
they are many."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

from tabtools.score import COMMON_TIME, Quarters, TimeSignature
from tabtools.text.rhythm.letters import read_letters, total
from tabtools.text.rhythm.records import BarColumns
from tabtools.text.rhythm.weighing import least_cost

_OTHERS = (COMMON_TIME, TimeSignature(3, 4), TimeSignature(6, 8), TimeSignature(2, 4), TimeSignature(5, 4))
# So many lettered bars are witnesses enough, and so many notes where only columns tell.
_FEWEST_LETTERED = 2
_FEWEST_NOTES = 12
# Nats that the other metre must save, in all and for each note.
_CLEARLY = 10.0
_CLEARLY_A_NOTE = 0.5


def as_shown(bars: Sequence[BarColumns]) -> list[BarColumns]:
    """The bars with the metre that they show, where one metre is written and nearly all of them deny it."""
    written = {bar.time for bar in bars if bar.onsets}
    if len(written) != 1 or any(bar.assumed for bar in bars):
        return list(bars)
    time = written.pop()
    lettered = [bar for bar in bars if bar.letters]
    shown = _by_letters(lettered, time) if lettered else _by_columns(bars, time)
    return [bar._replace(time=shown) for bar in bars] if shown else list(bars)


def _by_letters(bars: Sequence[BarColumns], time: TimeSignature) -> TimeSignature | None:
    """The metre that most bars are filled for by their letters, where none fills the written one."""
    timings = [read_letters(bar) for bar in bars]
    lengths = Counter(total(timing) for timing in timings if timing is not None)
    if not lengths or time.length in lengths:
        return None
    length, times = lengths.most_common(1)[0]
    if times < _FEWEST_LETTERED or 4 * times < 3 * len(bars):
        return None
    return _of_length(length)


def _of_length(length: Quarters) -> TimeSignature | None:
    return next((other for other in _OTHERS if other.length == length), None)


def _by_columns(bars: Sequence[BarColumns], time: TimeSignature) -> TimeSignature | None:
    """The metre that explains the columns of all bars clearly better than the written one."""
    drawn = [bar for bar in bars if bar.onsets and not bar.counts]
    notes = sum(len(bar.onsets) for bar in drawn)
    if notes < _FEWEST_NOTES or len(drawn) < len([bar for bar in bars if bar.onsets]):
        return None
    if _fits(drawn, time):
        return None
    others = [other for other in _OTHERS if other.length != time.length and _fits(drawn, other)]
    if not others:
        return None
    cost = least_cost(drawn)
    best, saved = None, max(_CLEARLY, _CLEARLY_A_NOTE * notes)
    for other in others:
        gain = cost - least_cost([bar._replace(time=other) for bar in drawn])
        if gain > saved:
            best, saved = other, gain
    return best


def _fits(bars: Sequence[BarColumns], time: TimeSignature) -> bool:
    """Whether the usual bar is a whole number of beats wide by the usual gap between its notes."""
    gaps = Counter(late - early for bar in bars for early, late in pairwise(bar.onsets))
    if not gaps:
        return True
    gap = min(gaps.most_common(2), key=lambda item: item[0])[0]
    spans = Counter(bar.width - bar.onsets[0] for bar in bars)
    steps = round(spans.most_common(1)[0][0] / gap)
    beats = time.beats // 3 if time.unit == 8 and time.beats % 3 == 0 else time.beats
    divided = (3, 6) if time.unit == 8 and time.beats % 3 == 0 else (1, 2, 4)
    return steps in {beats * parts for parts in divided}
