"""The words over the strings that stand for a number, each kind in one table: lengths and bend sizes.

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

# In semitones. A size of quarters of a tone has one sign without blanks or a plain fraction line, except
# where that could be nothing else: 3/4 is a metre.
BEND_SIZES = {
    "1/4": Fraction(1, 2),
    "¼": Fraction(1, 2),
    "1/2": Fraction(1),
    "½": Fraction(1),
    "¾": Fraction(3, 2),
    "full": Fraction(2),
    "1": Fraction(2),
    "1¼": Fraction(5, 2),
    "1½": Fraction(3),
    "1¾": Fraction(7, 2),
    "2": Fraction(4),
}


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


def bend_word(semitones: Fraction) -> str | None:
    """The sign for a bend that ends between two frets; None where a fret says it, or nothing does."""
    if semitones.denominator == 1:
        return None
    return next((word for word, size in BEND_SIZES.items() if size == semitones), None)
