"""The strings and frets that notes struck together may have, before fingers are thought of."""

from __future__ import annotations

import math
from collections.abc import Iterator

from tabtools.fingering.neck import Neck, Place
from tabtools.fingering.reach import REACH
from tabtools.record import NamedTuple

MOST = 64  # ways that are followed where no hand can hold the notes
_FEW = 32  # of them, how many are given fingers


def within_reach(
    neck: Neck, choices: list[tuple[Place | None, ...]], pressed: list[bool]
) -> Iterator[tuple[Place | None, ...]]:
    """Every way to give the notes strings of their own on frets that a hand spans."""
    reach = REACH[1, 4].hard * neck.scale
    partial: list[_Way] = [_Way((), 0, 0.0)]
    for options, press in zip(choices, pressed, strict=True):
        grown = (_with(neck, old, option, press) for old in partial for option in options)
        partial = [new for new in grown if not new.clashes and new.span <= reach]
    return (found.places for found in partial)


def least_apart(
    neck: Neck, choices: list[tuple[Place | None, ...]], pressed: list[bool]
) -> Iterator[tuple[Place | None, ...]]:
    """Ways that ask least of a hand that can't hold the notes: strings shared by few, then little span.

    Notes are placed one after the other and only the best `MOST` ways go on, so that a chord of ten notes
    takes no longer than ten chords of one.
    """
    reach = REACH[1, 4].hard * neck.scale
    partial: list[_Way] = [_Way((), 0, 0.0)]
    for options, press in zip(choices, pressed, strict=True):
        grown = [_with(neck, old, option, press) for old in partial for option in options]
        grown.sort(key=lambda new: (new.clashes, max(0.0, new.span - reach)))
        partial = grown[:MOST]
    least = partial[0].clashes
    return (found.places for found in partial[:_FEW] if found.clashes == least)


class _Way(NamedTuple):
    """Places for the first notes: how many share a string, and from where to where they are pressed in mm."""

    places: tuple[Place | None, ...]
    clashes: int
    span: float
    low: float = math.inf
    high: float = 0.0


def _with(neck: Neck, old: _Way, place: Place | None, press: bool) -> _Way:
    places = (*old.places, place)
    if place is None:
        return old._replace(places=places)
    clashes = old.clashes + any(other and other[0] == place[0] for other in old.places)
    if not press or place[1] == 0:
        return _Way(places, clashes, old.span, old.low, old.high)
    along = neck.along[place[1]]
    low, high = min(old.low, along), max(old.high, along)
    return _Way(places, clashes, high - low, low, high)
