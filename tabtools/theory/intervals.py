"""Intervals with their kind, as theory names them: minor third, perfect fifth, augmented ninth.

Common practice, no source; the tests compare them with a general music library.
"""

from __future__ import annotations

from tabtools.theory.line_of_fifths import degree_at, degree_parts, place_of_letter

_NUMBERS = {
    1: "unison",
    2: "second",
    3: "third",
    4: "fourth",
    5: "fifth",
    6: "sixth",
    7: "seventh",
    8: "octave",
    9: "ninth",
    11: "eleventh",
    13: "thirteenth",
}
_PERFECT = (1, 4, 5, 8, 11)
_PERFECT_KINDS = {-2: "doubly diminished", -1: "diminished", 0: "perfect", 1: "augmented"}
_OTHER_KINDS = {-3: "doubly diminished", -2: "diminished", -1: "minor", 0: "major", 1: "augmented"}


def interval_words(degree: str) -> str:
    """A degree as an interval above the root: ``minor third`` for ``b3``, ``root`` for ``1``."""
    number, alter = degree_parts(degree)
    if (number, alter) == (1, 0):
        return "root"
    if number == 1 and alter < 0:
        number = 8  # the same letter a semitone lower lies below the octave
    kinds = _PERFECT_KINDS if number in _PERFECT else _OTHER_KINDS
    return f"{kinds.get(alter, 'doubly augmented')} {_NUMBERS[number]}"


def interval_above(root: str, note: str) -> str:
    """The interval from one note name up to another within an octave: ``minor third`` for D and F.

    Raises ValueError for what is no note name.
    """
    return interval_words(degree_at(place_of_letter(root), place_of_letter(note)))
