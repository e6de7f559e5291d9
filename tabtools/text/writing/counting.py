"""A count row, as players say the beats aloud: ``1 & 2 &``, ``1 e & a``."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from tabtools.score import ZERO, Quarters
from tabtools.text.words.count_row import count_words_in
from tabtools.text.writing.above import spread
from tabtools.text.writing.laying import LaidBar, is_known
from tabtools.text.writing.spacing import LEAD

# By the part of a beat; thirds have no sign of their own and stand between two counts. Common practice,
# no source.
_SIGNS = {Fraction(1, 4): "e", Fraction(1, 2): "&", Fraction(3, 4): "a"}


def can_count(bar: LaidBar) -> bool:
    """Whether a bar's rhythm is known, and counts can say where it begins: not in a pick-up."""
    return is_known(bar.timing) and not bar.timing.pickup


def count_row(bars: Sequence[LaidBar], starts: Sequence[int]) -> str:
    """The counts of some bars, whose music begins at the columns ``starts``; empty where none can be
    counted, and where they are too few to be read as counts again."""
    row = spread(
        (start + column, word)
        for bar, start in zip(bars, starts, strict=True)
        if can_count(bar)
        for column, word in _counts(bar)
    )
    return row if count_words_in(row) else ""


def _counts(bar: LaidBar) -> list[tuple[int, str]]:
    """Every onset that has a count, and between them as many steps of the beat as there is room for."""
    unit = Fraction(4, bar.time.unit)
    known = _known_columns(bar)
    onsets = set(bar.timing.onsets)
    found = sorted((known[onset], word) for onset in onsets if (word := count_word(onset / unit)))
    for time in _steps(bar, unit):
        if time in onsets:
            continue
        column, word = _column(known, time), count_word(time / unit)
        at = bisect_left(found, (column,))
        before = found[at - 1] if at else None
        fits = before is None or before[0] + len(before[1]) < column
        if fits and (at == len(found) or column + len(word) < found[at][0]):
            found.insert(at, (column, word))
    return found


def _known_columns(bar: LaidBar) -> dict[Quarters, int]:
    """The column of every onset, of the bar's beginning and of its end."""
    timed = [
        column
        for slot, column in zip(bar.text.slots, bar.placed.columns, strict=True)
        if slot.onset is not None
    ]
    return {ZERO: LEAD, bar.text.length: bar.placed.width} | dict(zip(bar.timing.onsets, timed, strict=True))


def _column(known: dict[Quarters, int], time: Quarters) -> int:
    times = sorted(known)
    for left, right in pairwise(times):
        if left <= time <= right:
            return known[left] + int((known[right] - known[left]) * (time - left) / (right - left))
    return known[times[-1]]


def _steps(bar: LaidBar, unit: Quarters) -> Iterator[Quarters]:
    """The times to count, beats first, then their halves and quarters where a note needs such a step."""
    finest = max((onset / unit).denominator for onset in (*bar.timing.onsets, ZERO))
    for parts in (1, 2, 4):
        if parts == 1 or (finest % parts == 0 and finest in (2, 4, 8)):
            for step in range(int(bar.time.length / unit) * parts):
                if parts == 1 or step % 2:
                    yield unit * step / parts


def count_word(beat: Fraction) -> str:
    """What is said at a time in beats from the start of the bar; empty where there is no word for it."""
    whole = int(beat)
    return str(whole + 1) if beat == whole else _SIGNS.get(beat - whole, "")
