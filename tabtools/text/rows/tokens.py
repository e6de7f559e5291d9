"""What a string row is made of: notes and bar lines with their columns, and what stays open."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import lru_cache
from typing import NamedTuple

from tabtools.score import Technique


@dataclass(slots=True)
class RowNote:
    """One note of a row while it is being read. ``column`` is that of its first digit, ``start`` and
    ``end`` those of its brackets; ``stop`` is where the marks behind it end, ``lead`` where a mark before it
    begins that touches no other note. ``fret`` is None for a dead note."""

    fret: int | None
    column: int
    start: int
    end: int
    stop: int
    techniques: list[Technique] = field(default_factory=list)
    tied: bool = False
    finger: str | None = None
    lead: int | None = None


class BarLine(NamedTuple):
    """A bar line: its columns, and whether a repeat begins or ends at it."""

    start: int
    end: int
    opens: bool
    closes: bool


@dataclass(slots=True)
class RowTokens:
    """What a row holds, in order of columns; ``unknown`` are the stretches that nothing explains,
    ``long_numbers`` the digits that cannot be one fret, ``far`` counts frets over any neck that were left
    whole; ``open`` is what may be meant otherwise: the kind of doubt, its columns, and the reading chosen."""

    notes: list[RowNote] = field(default_factory=list)
    bars: list[BarLine] = field(default_factory=list)
    unknown: list[tuple[int, int]] = field(default_factory=list)
    long_numbers: list[tuple[int, int]] = field(default_factory=list)
    far: int = 0
    open: list[tuple[str, int, int, str]] = field(default_factory=list)


@lru_cache(maxsize=64)
def plain(name: str, mark: str = "") -> Technique:
    """A technique without a size; one object for all notes. A slide by ``\\`` falls."""
    return Technique(name, falling=mark == "\\" and name in ("slide-in", "slide-out"))
