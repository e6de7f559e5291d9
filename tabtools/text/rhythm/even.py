"""Pages whose columns say only the order of the notes: one gap everywhere."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction

from tabtools.score import TimeSignature
from tabtools.text.rhythm.habit import CELLS, DIGITS, KEEP, Pattern, pattern
from tabtools.text.rhythm.records import BarColumns
from tabtools.text.rhythm.timing import even_places, gaps
from tabtools.theory.duration import is_compound

# One hyphen between all notes is the least gap, and that of pages without any sense of proportion.
_LEAST = 2
# The columns by which the ends of bars may differ on such a page.
_ENDS = 3
# The bars from which on equally many notes in all of them are believed to be no accident.
_PAGE = 4
_EIGHTH = Fraction(1, 2)
# A group of three in ticks: as it looks when set apart from the next, and as even thirds.
_GROUP, _FEWEST_GROUPS = 12, 4
_CLOSE, _EVEN_THIRDS = (0, 3, 6), (0, 4, 8)


def is_even_by_default(bars: Sequence[BarColumns]) -> bool:
    """Whether all gaps are alike, also those before the bar lines, though the bars are not: then nothing
    tells long notes from short ones.

    Bars that hold equally many notes, as many as a plain value needs to fill them, are even and no doubt; at
    the least gap only where that value is no longer than an eighth: nobody who minds proportion gives a
    quarter note a single hyphen. A few such bars are too little: also without proportion they may happen to
    hold as many notes.
    """
    return any(_by_default(sizes, kinds, len(bars)) for sizes, kinds in _alike(bars)) or _is_loose(bars)


def is_tight(bars: Sequence[BarColumns]) -> bool:
    """Whether one hyphen stands between all notes: even notes look so, and so does a page without proportion
    whose bars happen to hold equally many notes."""
    return any(max(sizes) <= _LEAST for sizes, _ in _alike(bars))


Kinds = set[tuple[int, TimeSignature]]


def in_threes(ticks: Sequence[int], length: int) -> tuple[int, ...] | None:
    """Thirds of every half beat for a whole bar read as two thirty-seconds and a sixteenth each: writers set
    groups of three apart, and hardly anybody means the other. None for any other rhythm."""
    groups = length // _GROUP
    if groups < _FEWEST_GROUPS or len(ticks) != len(_CLOSE) * groups:
        return None
    if tuple(ticks) != tuple(_GROUP * group + at for group in range(groups) for at in _CLOSE):
        return None
    return tuple(_GROUP * group + at for group in range(groups) for at in _EVEN_THIRDS)


def _alike(bars: Sequence[BarColumns]) -> Iterator[tuple[set[int], Kinds]]:
    """The one gap, and the numbers of notes with their metres, for each kind of push that makes all gaps
    alike."""
    for push in (KEEP, DIGITS, CELLS):
        patterns, counts = _patterns(bars, push, 0)
        sizes = set(counts)
        margins = {(one.columns[0], one.width - one.columns[-1]) for one in patterns}
        if len(sizes) != 1 or len(margins) != 1 or min(margins)[0] > min(sizes):
            continue
        kinds = {(len(one.columns), one.time) for one in patterns}
        # Bars that differ show that what follows the last note says nothing; of one kind, it must be a gap.
        if len(kinds) > 1 or abs(min(margins)[1] - min(sizes)) <= 1:
            yield sizes, kinds


def _is_loose(bars: Sequence[BarColumns]) -> bool:
    """Whether all gaps are the least one, or nearly all, the others a hyphen more, and bars of one metre are
    as wide as their notes are many, but for a few columns at their ends."""
    for push in (KEEP, DIGITS, CELLS):
        patterns, sizes = _patterns(bars, push, 1)
        least = min(sizes, default=0)
        if max(sizes, default=0) > least + 1 or 4 * sizes[least] < 3 * sizes.total():
            continue
        longer = max(sum(gap > least for gap in gaps(one.columns)) for one in patterns)
        if any(_by_notes(some, least, longer) for some in _by_metre(patterns)):
            return True
    return False


def _by_metre(patterns: Sequence[Pattern]) -> Iterator[list[Pattern]]:
    for time in dict.fromkeys(one.time for one in patterns):
        yield [one for one in patterns if one.time == time]


def _by_notes(patterns: Sequence[Pattern], gap: int, longer: int) -> bool:
    """Whether bars differ in width, by what their notes take but for ``longer`` gaps and a few columns."""
    spare = [one.width - len(one.columns) * gap for one in patterns]
    widths = [one.width for one in patterns]
    apart, varied = max(spare) - min(spare), max(widths) - min(widths)
    return apart <= longer + _ENDS and max(apart, longer + 1) < varied


def _patterns(bars: Sequence[BarColumns], push: int, spread: int) -> tuple[list[Pattern], Counter[int]]:
    """The patterns of bars, and how often each gap occurs in them; no further than to the first gaps that
    differ by more columns than ``spread``, which is all that most pages need to be looked at."""
    patterns: list[Pattern] = []
    sizes: Counter[int] = Counter()
    for bar in bars:
        patterns.append(pattern(bar, push))
        sizes.update(gaps(patterns[-1].columns))
        if sizes and max(sizes) - min(sizes) > spread:
            break
    return patterns, sizes


def _by_default(sizes: set[int], kinds: Kinds, bars: int) -> bool:
    few = bars < _PAGE and min(sizes) <= _LEAST
    values = {time.length / count for count, time in kinds}  # one, where only the metre changes
    return few or len(values) > 1 or not all(_fills(count, time, min(sizes)) for count, time in kinds)


def _fills(count: int, time: TimeSignature, gap: int) -> bool:
    """Whether so many equal notes that far apart fill a bar as a plain value does."""
    if gap <= _LEAST and time.length / count > _EIGHTH:
        return False
    dotted = is_compound(time) and time.beats // 3 % count == 0
    return dotted or even_places(count, time.length) is not None
