"""Pages whose columns say only the order of the notes: one gap everywhere."""

from __future__ import annotations

from collections.abc import Sequence

from tabtools.text.rhythm.habit import CELLS, DIGITS, KEEP, pattern
from tabtools.text.rhythm.records import BarColumns
from tabtools.text.rhythm.timing import even_places, gaps


def is_even_by_default(bars: Sequence[BarColumns]) -> bool:
    """Whether all gaps are alike, also those before the bar lines, though the bars are not: then nothing
    tells long notes from short ones.

    Bars that hold equally many notes, as many as a plain value needs to fill them, are even and no doubt.
    """
    return any(_alike(bars, push) for push in (KEEP, DIGITS, CELLS))


def _alike(bars: Sequence[BarColumns], push: int) -> bool:
    patterns = [pattern(bar, push) for bar in bars]
    sizes = {gap for one in patterns for gap in gaps(one.columns)}
    margins = {(one.columns[0], one.width - one.columns[-1]) for one in patterns}
    if len(sizes) != 1 or len(margins) != 1 or min(margins)[0] > min(sizes):
        return False
    kinds = {(len(one.columns), one.time) for one in patterns}
    return len(kinds) > 1 or any(even_places(count, time.length) is None for count, time in kinds)
