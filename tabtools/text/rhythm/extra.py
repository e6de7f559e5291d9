"""Bars with a few columns too many or too few: a hyphen more before the first note, before the bar line or
beside a wide number, or one that slipped in anywhere. Most bars of the page keep to one width, and say so."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from itertools import combinations_with_replacement, pairwise

from tabtools.score import TimeSignature
from tabtools.text.rhythm.habit import DIGITS, KEEP, pattern
from tabtools.text.rhythm.records import BarColumns
from tabtools.text.rhythm.timing import gaps

# How many columns may be too many or too few, what share of the bars have the usual width
# (fewer where all others have what invites them), and how many.
_MOST = 3
_USUAL, _INVITED, _FEWEST = 0.55, 0.3, 2
# The cost in nats of a bar of unusual width, and of a place where nothing invites another hyphen.
_ODD, _ANYWHERE = 2.0, 1.5


def odd_widths(bars: Sequence[BarColumns]) -> dict[int, int]:
    """The bars that are a few columns wider (or, negative, narrower) than is usual in their metre, by index;
    none where no width is usual, or the others tell no long notes from short ones."""
    best: tuple[int, dict[int, int]] = (0, {})
    for push in (KEEP, DIGITS):
        widths = [pattern(bar, push).width for bar in bars]
        usual = _usual(bars, widths)
        off = [width - usual[bar.time] for bar, width in zip(bars, widths, strict=True)]
        right = off.count(0)
        if right > best[0]:
            best = right, {at: more for at, more in enumerate(off) if 0 < abs(more) <= _MOST}
    invited = all(any(extent.cell > 1 for extent in bars[at].extents) for at in best[1])
    if best[0] < max(_FEWEST, (_INVITED if invited else _USUAL) * len(bars)):
        return {}
    kinds = {gap for at, bar in enumerate(bars) if at not in best[1] for gap in gaps(bar.onsets)}
    return best[1] if max(kinds, default=0) >= 2 * min(kinds, default=1) else {}


def _usual(bars: Sequence[BarColumns], widths: Sequence[int]) -> dict[TimeSignature, int]:
    found: dict[TimeSignature, Counter[int]] = {}
    for bar, width in zip(bars, widths, strict=True):
        found.setdefault(bar.time, Counter())[width] += 1
    return {time: max(counts, key=lambda w: (counts[w], -w)) for time, counts in found.items()}


def variants(bar: BarColumns, extra: int) -> list[tuple[float, BarColumns]]:
    """The bar with so many columns taken out (put in, if negative), for all places where they may have been:
    each with its weight. Several stand together, or at places that invite them."""
    count = len(bar.onsets)
    inviting = {0, count, *(at + 1 for at, extent in enumerate(bar.extents) if extent.cell > 1)}
    wanted = [(at,) * abs(extra) for at in range(count + 1)]
    wanted += [
        chosen
        for chosen in combinations_with_replacement(sorted(inviting), abs(extra))
        if len(set(chosen)) > 1
    ]
    costs = [_ANYWHERE * len(set(chosen) - inviting) for chosen in wanted]
    total = sum(math.exp(-cost) for cost in costs)
    made = (
        (math.exp(-_ODD - cost) / total, _without(bar, chosen, extra))
        for cost, chosen in zip(costs, wanted, strict=True)
    )
    return [(weight, one) for weight, one in made if one is not None] or [(1.0, bar)]


def _without(bar: BarColumns, places: Sequence[int], extra: int) -> BarColumns | None:
    """The bar with a column less (or more) before each of some onsets; None where there is no room."""
    step = 1 if extra > 0 else -1
    onsets = tuple(
        column - step * sum(place <= at for place in places) for at, column in enumerate(bar.onsets)
    )
    width = bar.width - extra
    steps = (-1, *onsets, width)
    if any(late <= early for early, late in pairwise(steps)):
        return None
    return bar._replace(onsets=onsets, width=width)
