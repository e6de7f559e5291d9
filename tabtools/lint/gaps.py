"""Where in a bar of one string row characters are missing or too many, as the notes around prove."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from math import gcd

from tabtools.record import NamedTuple

_FILLED = re.compile(r"[^- ]+")
_FRET = re.compile(r"\d+|[xX]")
_DIGITS = re.compile(r"\d+")
# No fret is higher.
MOST = 24


class Change(NamedTuple):
    """Characters ``start`` to ``end``, in columns, become ``text``; an empty text takes them out."""

    start: int
    end: int
    text: str


class Evidence(NamedTuple):
    """The columns that notes can have, counted from the bar line with its repeat dots: those of the other
    strings in this bar, and those that lie a whole number of steps from ``origin``, where all notes around
    do."""

    known: frozenset[int]
    step: int = 1
    origin: int = 0

    def allows(self, column: int) -> bool:
        return column in self.known or (self.step > 1 and (column - self.origin) % self.step == 0)


def evidence(same_bar: Iterable[str], all_bars: Iterable[str]) -> Evidence:
    """What the other rows of a bar, and all bars that are drawn well, say about columns."""
    columns = sorted({column for text in all_bars for column in _columns(text)})
    step = gcd(*(column - columns[0] for column in columns)) if len(columns) > 1 else 1
    return Evidence(
        frozenset(column for text in same_bar for column in _columns(text)),
        step,
        columns[0] if columns else 0,
    )


def level(text: str, difference: int, said: Evidence) -> Change | None:
    """The change that makes a bar's row ``difference`` characters longer (shorter where it is negative) and
    puts every note of it on a column that the notes around have; None where no place or more than one does
    that. In a bar without notes one place is as good as another."""
    if any(int(digits) > MOST for digits in _DIGITS.findall(text)):
        return None
    gaps = _gaps(text)
    if not _frets(text):
        gaps = [max(gaps, key=lambda gap: gap[1] - gap[0])]
    fitting = [gap for gap in gaps if _has_room(gap, difference, text) and _fits(text, gap, difference, said)]
    if len(fitting) != 1:
        return None
    end = fitting[0][1]
    return Change(end, end, "-" * difference) if difference > 0 else Change(end + difference, end, "")


def _gaps(text: str) -> list[tuple[int, int]]:
    """The stretches of filler between what stands in a bar; repeat dots belong to the bar line."""
    tokens = [match.span() for match in _FILLED.finditer(text)]
    gaps = list(
        zip([0, *(end for _, end in tokens)], [*(start for start, _ in tokens), len(text)], strict=True)
    )
    first, last = text.startswith(":"), len(gaps) - text.endswith(":")
    return gaps[first:last]


def _has_room(gap: tuple[int, int], difference: int, text: str) -> bool:
    """Whether as many characters can go; between two notes one must be left."""
    start, end = gap
    between = start > 0 and end < len(text)
    return end - start + difference >= between


def _fits(text: str, gap: tuple[int, int], difference: int, said: Evidence) -> bool:
    dots = text.startswith(":")
    return all(said.allows(at - dots + (difference if at >= gap[1] else 0)) for at in _frets(text))


def _columns(text: str) -> Iterator[int]:
    dots = text.startswith(":")
    return (at - dots for at in _frets(text))


def _frets(text: str) -> list[int]:
    return [match.start() for match in _FRET.finditer(text)]
