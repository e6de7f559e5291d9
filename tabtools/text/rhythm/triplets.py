"""Triplet brackets over the notes: three notes in the time of two of their kind, whatever the columns say."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from tabtools.score import Quarters
from tabtools.text.rhythm.records import BarColumns, Timing
from tabtools.text.rhythm.timing import until_next

# What three notes under a bracket last together, in quarter notes.
_SPANS = (Fraction(1, 2), Fraction(1), Fraction(2))
_THREE = 3


def bracketed(bar: BarColumns) -> list[int]:
    """The index of the first of the three onsets under each bracket; brackets over fewer or more say
    nothing, and letters and counts speak for themselves."""
    found: list[int] = []
    if bar.letters or bar.counts:
        return found
    for start, end in bar.brackets:
        under = [index for index, column in enumerate(bar.onsets) if start - 1 <= column <= end]
        if len(under) == _THREE:
            found.append(under[0])
    return found


def as_one(bar: BarColumns) -> BarColumns:
    """The bar with one onset for every bracket: its second and third note stand between."""
    inner = {first + more for first in bracketed(bar) for more in (1, 2)}
    kept = [index for index in range(len(bar.onsets)) if index not in inner]
    return bar._replace(
        onsets=tuple(bar.onsets[index] for index in kept),
        extents=tuple(bar.extents[index] for index in kept) if bar.extents else (),
    )


def parted(timing: Timing, bar: BarColumns) -> Timing | None:
    """The timing of ``as_one(bar)`` with every bracket's three notes; None where one lasts no plain value."""
    firsts = set(bracketed(bar))
    if not firsts:
        return timing
    onsets: list[Quarters] = []
    for onset, lasts in zip(timing.onsets, timing.durations, strict=True):
        onsets.append(onset)
        if len(onsets) - 1 in firsts:
            if lasts not in _SPANS:
                return None
            onsets += _thirds(onset, lasts)
    whole = until_next(onsets, _end(timing), timing.inferred)
    return whole._replace(pickup=timing.pickup, time=timing.time)


def _thirds(onset: Quarters, lasts: Quarters) -> Sequence[Quarters]:
    return (onset + lasts / _THREE, onset + 2 * lasts / _THREE)


def _end(timing: Timing) -> Quarters:
    return timing.onsets[-1] + timing.durations[-1]
