"""Rows of counts over or under a system: ``1 & 2 &``, ``1 e & a``, ``1 trip let``, ``1 . . . 2 . . .``.

Writers differ: syllables of their own between the numbers (``1 t t``, ``1 la li``), counts in brackets for
beats on which nothing is played, bar lines, a label before the row, several counts in one word. Common
practice, no source.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

from tabtools.text.patterns import lazy

_LABEL = lazy(r"\s*(?:counts?|counting|beats?)(?::|(?=\s))", re.IGNORECASE)
_RULES = str.maketrans("|,()[]", "      ")
_BAR_LINES = str.maketrans("|,", "  ")
_WORD = lazy(r"\S+")
_PIECE = lazy(r"1[0-2]|[1-9]|trip|let|and|und|an|et|&|\+|n|y|e|a")
_JOINED = lazy(r"(?:1[0-2]|[1-9])(?:&|\+|and|e|a|[1-9])+")
# A word that the writer chose freely: it says no more than that a part of the beat is there.
_FREE = lazy(r"[a-z]{1,4}|[._]")
_HALVES = dict.fromkeys(("an", "n", "y", "und", "et"), "&")
# A time with its beat in one word, as the messages of this package name it: 2&, 3trip, 4(6of8).
SPOKEN = lazy(r"(?P<beat>1[0-2]|[1-9])(?P<part>&|\+|and|e|a|trip|let|\((?P<step>[2-9])of(?P<steps>[2-9])\))?")
_FEWEST = 3
_FINGERS = 4

Word = tuple[str, int]


def count_words_in(text: str) -> tuple[Word, ...]:
    """The words of a count row with their columns, in small letters; none where a line is another.

    Numbers alone are a row of counts from 1 on; a row of parts of beats may begin anywhere. Free words make
    one only where they recur and the numbers between rise by one.
    """
    if (label := _LABEL.match(text)) is not None:
        text = " " * label.end() + text[label.end() :]
    if spoken := _spoken(text):
        return spoken
    plain = text.translate(_RULES).lower()
    words = _split(plain) or _split(plain.replace("-", " "))
    numbers = [int(word) for word, _ in words if word.isdigit()]
    parts = [word for word, _ in words if not word.isdigit()]
    if len(words) < _FEWEST or not numbers:
        return ()
    free = [word for word in parts if not _PIECE.fullmatch(word)]
    if free:
        return words if words[0][0] == "1" and _recur(free) and _rise(numbers) else ()
    if not parts and max(numbers) <= _FINGERS and _are_fingers(words):
        return ()
    if words[0][0] == "1":
        return (
            words
            if (2 in numbers and (parts or "-" not in text)) or any(part in "&+e" for part in parts)
            else ()
        )
    return words if "-" not in text and len(numbers) > 1 and {"&", "+", "and"} & set(parts) else ()


def _spoken(text: str) -> tuple[Word, ...]:
    """The words of a row that says every time with its beat, ``1 1& 2 2&``, which names some beat twice
    running; none of any other row."""
    found = [
        (match, SPOKEN.fullmatch(match.group().lower()))
        for match in _WORD.finditer(text.translate(_BAR_LINES))
    ]
    if len(found) < 2 or not all(spoken for _, spoken in found):
        return ()
    again = any(
        one["beat"] == two["beat"] and two["part"] for (_, one), (_, two) in pairwise(found) if one and two
    )
    return tuple((match.group().lower(), match.start()) for match, _ in found) if again else ()


def _split(plain: str) -> tuple[Word, ...]:
    """The words with their columns, joined ones taken apart; none where one can be no count."""
    found: list[Word] = []
    for match in _WORD.finditer(plain):
        word, start = match.group(), match.start()
        if _JOINED.fullmatch(word):
            found += [(piece.group(), start + piece.start()) for piece in _PIECE.finditer(word)]
        elif _PIECE.fullmatch(word) or _FREE.fullmatch(word):
            found.append((_HALVES.get(word, word), start))
        else:
            return ()
    return tuple(found)


def _are_fingers(words: Sequence[Word]) -> bool:
    """Whether numbers go back to another one than the first beat, or leave one out without leaving room for
    it."""
    steps = [(int(b) - int(a), int(b), there - here) for (a, here), (b, there) in pairwise(words)]
    next_ones = [room for step, _, room in steps if step == 1]
    return any(
        (step < 0 and number > 1) or (step > 1 and room <= min(next_ones, default=0))
        for step, number, room in steps
    )


def _recur(free: Sequence[str]) -> bool:
    return min(Counter(free).values()) > 1


def _rise(numbers: Sequence[int]) -> bool:
    return len(numbers) > 1 and all(later in (1, earlier + 1) for earlier, later in pairwise(numbers))
