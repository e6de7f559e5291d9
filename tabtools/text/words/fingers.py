"""A row of fingers under a system, both ways: ``1  3  4  <- fingers``.

Every word is a column of notes, one sign for each from the top: a finger, or ``.`` for a note without one.
The remark at the end tells it from a count row.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence

from tabtools.text.patterns import lazy
from tabtools.text.rows.columns import Column, RawBar

REMARK = "<- fingers"
NONE = "."
_ROW = lazy(
    r"\s*(?P<words>[0-4TCPpimac.]+(?:\s+[0-4TCPpimac.]+)*)\s+<- ?(?:[a-z]+ )*fingers\s*", re.IGNORECASE
)
_WORD = lazy(r"\S+")


def finger_words(text: str) -> Iterator[tuple[str, int]]:
    """The words of a finger row with their columns; none where a line is another."""
    row = _ROW.fullmatch(text) if REMARK[:2] in text else None
    if row is not None:
        yield from ((word.group(), word.start()) for word in _WORD.finditer(text, 0, row.end("words")))


def give_fingers(words: Iterable[tuple[str, int]], bars: Sequence[RawBar]) -> None:
    """Give the notes of each column the fingers that stand under it, where there is one for every note."""
    columns = {column.column: column for bar in bars for column in bar.columns}
    for word, place in words:
        near = next((at for at in (place, place - 1, place + 1) if at in columns), None)
        if near is not None:
            _give(columns[near], word)


def _give(column: Column, word: str) -> None:
    if len(word) == len(column.notes):
        for placed, finger in zip(column.notes, word, strict=True):
            placed.finger = None if finger == NONE else finger
