"""The words over the strings that stand for a length, in one table.

Reader and writer share them, so that what is written reads back. Common practice, no source.
"""

from __future__ import annotations

from fractions import Fraction

from tabtools.score import Quarters
from tabtools.text.patterns import lazy

_LETTERS = {
    "w": Fraction(4),
    "h": Fraction(2),
    "q": Fraction(1),
    "e": Fraction(1, 2),
    "s": Fraction(1, 4),
    "t": Fraction(1, 8),
}
_REST = "r"
_DURATION = lazy(rf"(?P<letter>[{''.join(_LETTERS)}])(?P<dots>\.{{0,2}})(?P<rest>{_REST}?)|{_REST}")
_WRITTEN = {
    value * (2 - Fraction(1, 2**dots)): letter + "." * dots
    for dots in (0, 1, 2)
    for letter, value in _LETTERS.items()
}
DURATIONS = tuple(_WRITTEN)


def read_duration(word: str) -> tuple[Quarters, bool] | None:
    """The length in quarter notes of ``q``, ``e.``, ``hr`` …, and whether it is a rest; None for other words.

    An ``r`` alone is a rest of a quarter note.
    """
    match = _DURATION.fullmatch(word)
    if match is None:
        return None
    if match["letter"] is None:
        return Fraction(1), True
    return _LETTERS[match["letter"]] * (2 - Fraction(1, 2 ** len(match["dots"]))), bool(match["rest"])


def duration_word(length: Quarters, *, rest: bool = False) -> str | None:
    """The letter and dots for a length in quarter notes; None where no letter with two dots says it."""
    word = _WRITTEN.get(length)
    return word + _REST * rest if word else None
