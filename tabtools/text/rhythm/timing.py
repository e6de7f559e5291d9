"""Onsets to durations: every bar is filled."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from tabtools.score import ZERO, Inferred, Quarters
from tabtools.text.rhythm.records import EVEN, BarColumns, Timing
from tabtools.theory.duration import is_compound

_TRIPLETS = (Fraction(1, 3), Fraction(1, 6))


def until_next(onsets: Sequence[Quarters], length: Quarters, inferred: Inferred | None) -> Timing:
    """Each note lasts to the next onset, the last one to the end of the bar; a late start is a rest."""
    if not onsets:
        return Timing((), (), ((ZERO, length),), inferred)
    ends = [*onsets[1:], length]
    durations = tuple(end - onset for onset, end in zip(onsets, ends, strict=True))
    rests = ((ZERO, onsets[0]),) if onsets[0] > 0 else ()
    return Timing(tuple(onsets), durations, rests, inferred)


def even(bar: BarColumns, length: Quarters) -> Timing:
    """Even notes that fill the bar, triplets where it takes them; else of the largest plain value that gets
    them all into the bar, the last one longer."""
    count = len(bar.onsets)
    if not is_compound(bar.time) and (places := even_places(count, length)) is not None:
        return until_next(places, length, EVEN)
    value = Fraction(1)
    while value * count > length:
        value /= 2
    return until_next([index * value for index in range(count)], length, EVEN)


def even_places(count: int, length: Quarters) -> tuple[Quarters, ...] | None:
    """Onsets of ``count`` equal plain notes that fill a bar exactly, or of triplets of eighths or sixteenths;
    None where none of them does."""
    value = length / count if count else ZERO
    power = value and value.numerator & (value.numerator - 1) == 0
    plain = power and (value.denominator in (1, 2, 4, 8) or value in _TRIPLETS)
    return tuple(index * value for index in range(count)) if plain else None


def gaps(columns: Sequence[int]) -> list[int]:
    """The columns from each onset to the next."""
    return [later - earlier for earlier, later in pairwise(columns)]
