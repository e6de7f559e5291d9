"""How far a bend goes where no fret says it: in words or parts of a step, on the row or over it.

Reader and writer share the table, so that what is written reads back. Common practice, no source.
"""

from __future__ import annotations

from fractions import Fraction

from tabtools.text.patterns import lazy

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
    "1 1/4": Fraction(5, 2),
    "1 1/2": Fraction(3),
    "1 3/4": Fraction(7, 2),
}

# On the row itself, right behind the sign of the bend: full, (1/2), ½. A bare 1 or 2 is a fret there.
_IN_ROW = BEND_SIZES | {"3/4": Fraction(3, 2)}
_AMOUNT = lazy(
    r"(?P<open>\()?(?P<size>full|(?<=\()1 (?:[13]/4|1/2)(?=\))|[13]/4|1/2|1?[¼½¾]|(?<=\()[12](?=\)))"
    r"(?(open)\))"
)


def amount_behind(text: str, at: int, end: int, fret: int) -> tuple[Fraction, int] | None:
    """The size in semitones that stands at a column of a row behind the sign of a bend, and where it ends;
    None where there is none. A number above the ``fret`` that is bent is the fret to bend to."""
    match = _AMOUNT.match(text, at, end)
    if match is None:
        return None
    size = match["size"]
    whole = size[0] in "123" and int(size[0]) > fret
    return None if whole else (_IN_ROW[size], match.end())


def bend_word(semitones: Fraction) -> str | None:
    """The sign for a bend that ends between two frets; None where a fret says it, or nothing does."""
    if semitones.denominator == 1:
        return None
    return next((word for word, size in BEND_SIZES.items() if size == semitones), None)
