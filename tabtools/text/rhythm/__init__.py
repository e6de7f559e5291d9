"""Columns to time: what the page writes is taken exactly, what it only suggests is marked as inferred.

Evidence, strongest first: duration letters, a count row, the columns themselves.
"""

from tabtools.text.rhythm.counts import count_words, spoken
from tabtools.text.rhythm.reading import read_rhythm
from tabtools.text.rhythm.records import EVEN, UNCLEAR, BarColumns, Extent, Timing
from tabtools.text.rhythm.said import Said, read_said

__all__ = [
    "EVEN",
    "UNCLEAR",
    "BarColumns",
    "Extent",
    "Said",
    "Timing",
    "count_words",
    "read_rhythm",
    "read_said",
    "spoken",
]
