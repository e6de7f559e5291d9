"""Bars that are filled up with hyphens to the width of their neighbours: although wide numbers take room, or
their own steps need less."""

from __future__ import annotations

from collections.abc import Sequence
from math import gcd

from tabtools.score import TimeSignature
from tabtools.text.rhythm.habit import DIGITS, TIGHT, pattern
from tabtools.text.rhythm.records import BarColumns
from tabtools.text.rhythm.timing import gaps

# The parts of a bar that its notes may keep to; so many begin there for one that begins late elsewhere.
_PARTS, _FEW = (2, 4), 2
# The part of a bar, and how many notes in it, that make a single bar doubtful.
_QUARTER, _SEVERAL = 4, 3


def unpadded(bars: Sequence[BarColumns]) -> list[list[BarColumns]]:
    """What the page was before it was filled up, once for each way in which wide numbers may push; nothing
    where bars have widths of their own, or no number pushes.

    Taken back, the bars of one metre were of one width: that of the bar that needed no filling.
    """
    if not _has_wide(bars) or not _alike(bars):
        return []
    found = (_trimmed(bars, push) for push in (DIGITS, TIGHT))
    return [trimmed for trimmed in found if trimmed is not None]


def _least(bars: Sequence[BarColumns], widths: Sequence[int]) -> dict[TimeSignature, int]:
    """The least width in each metre."""
    least: dict[TimeSignature, int] = {}
    for bar, width in zip(bars, widths, strict=True):
        least[bar.time] = min(width, least.get(bar.time, width))
    return least


def _has_wide(bars: Sequence[BarColumns]) -> bool:
    return any(extent.digits > 1 for bar in bars for extent in bar.extents)


def _alike(bars: Sequence[BarColumns]) -> bool:
    """Whether nearly all bars are as wide as one beside them."""
    widths = [bar.width for bar in bars]
    alike = sum(width in (*widths[:at][-1:], *widths[at + 1 :][:1]) for at, width in enumerate(widths))
    return 5 * alike > 4 * len(bars)


def _trimmed(bars: Sequence[BarColumns], push: int) -> list[BarColumns] | None:
    widths = [pattern(bar, push).width for bar in bars]
    least = _least(bars, widths)
    spare = [width - least[bar.time] for bar, width in zip(bars, widths, strict=True)]
    fits = all(bar.onsets[-1] < bar.width - more for bar, more in zip(bars, spare, strict=True))
    if not fits or not any(spare):
        return None
    return [bar._replace(width=bar.width - more) for bar, more in zip(bars, spare, strict=True)]


def early(bars: Sequence[BarColumns]) -> dict[int, int]:
    """The bars whose notes all stand in the first half, by index, with the part of the bar that they keep to:
    2 a half, 4 a quarter. Such a bar either ends in a long rest, or is filled up with hyphens."""
    before = min(bar.onsets[0] for bar in bars)
    found = {}
    for index, bar in enumerate(bars):
        span, parts = bar.width - before, 1
        while (
            bar.onsets[-1] > before
            and span % (2 * parts) == 0
            and bar.onsets[-1] - before < span // (2 * parts)
        ):
            parts *= 2
        if parts > 1:
            found[index] = parts
    return found


def crowded(bars: Sequence[BarColumns], parts: dict[int, int]) -> dict[int, int]:
    """Of the bars that keep to a part of their width, those that are doubtful also where few do: with three
    notes or more in a quarter, whose steps are no smaller than those of the page. A bar of five or seven
    beats has no quarter."""
    found = {
        at: times
        for at, times in parts.items()
        if times >= _QUARTER and len(bars[at].onsets) >= _SEVERAL and gcd(bars[at].time.beats, 6) > 1
    }
    step = gcd(*(gap for bar in bars for gap in gaps(bar.onsets))) if found else 0
    return {at: times for at, times in found.items() if gcd(*gaps(bars[at].onsets)) == step}


def late(bars: Sequence[BarColumns]) -> dict[int, int]:
    """The bars that begin exactly where their last half or quarter does, by index, with that part: they begin
    with a long rest, or are filled up before their notes. None where many begin elsewhere, as rests do."""
    before = min(bar.onsets[0] for bar in bars)
    found, others = {}, 0
    for index, bar in enumerate(bars):
        span, start = bar.width - before, bar.onsets[0] - before
        parts = next((parts for parts in _PARTS if start * parts == span * (parts - 1)), 0)
        if parts:
            found[index] = parts
        else:
            others += start > 0
    return found if _FEW * others <= len(found) else {}


def shortened(bars: Sequence[BarColumns], parts: dict[int, int], at_left: bool) -> list[BarColumns]:
    """The bars without what may be filled up behind them, or before their notes."""
    before = min(bar.onsets[0] for bar in bars)
    made = []
    for index, bar in enumerate(bars):
        width = before + (bar.width - before) // parts.get(index, 1)
        less = bar.width - width if at_left else 0
        made.append(bar._replace(onsets=tuple(column - less for column in bar.onsets), width=width))
    return made
