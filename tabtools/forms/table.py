"""The one table of movable forms: the open chords E, A, D, C and G, and their variants.

A grip is written as the chord degree on each string; frets follow from degrees and tuning. So the same
table serves every tuning, and a grip spells its chord by its very definition.
"""

from __future__ import annotations

from functools import cache

from tabtools.record import NamedTuple
from tabtools.theory.line_of_fifths import degree_semitones, pitch_class, place_of_letter
from tabtools.theory.qualities import Quality, quality_of_suffix

# The open strings that the forms are named after, string 1 first. Below string 6 on by fourths.
STRINGS = tuple(
    pitch_class(place_of_letter(name)) for name in ["E", "B", "G", "D", "A", "E", "B", "F#", "C#"]
)

# In the order of preference where two forms fit alike (common practice, no source).
FORMS = ("E", "A", "D", "C", "G")

# The name of a quality here, and its suffix in a chord symbol.
_PLAIN = ("7", "m7", "maj7", "5", "sus4", "sus2", "dim", "6", "m7b5", "dim7", "9", "aug")
# Nobody hears these in a few single notes: they are read where a chord symbol names one, or a strum holds it.
RICH = ("m6", "m(maj7)", "7sus4", "add9", "6/9", "m9", "maj9", "7#9", "7b9")
QUALITIES = {"maj": "", "min": "m"} | {name: name for name in _PLAIN + RICH}

# The everyday barre lies at the anchor fret, in the D form two frets above it: there the half barre covers
# strings 3 to 1, and the root on string 4 is at the anchor.
BARRE = {form: 2 if form == "D" else 0 for form in FORMS}
# Frets that the hand reaches from a form, counted from its anchor.
REACH = {form: (-1, 5) if form == "D" else (-1, 4) for form in FORMS}

# Quality and degrees on strings 6 to 1; the first row of a quality is its main grip. Each form letter
# is the root. Common practice; the frets that follow are compared with a list of grips in the tests.
_GRIPS = {
    "E": """
        maj     1   5   1   3   5   1
        min     1   5   1  b3   5   1
        5       1   5   1   x   x   x
        7       1   5  b7   3   5   1
        7       1   5   1   3  b7   1
        maj7    1   5   7   3   5   1
        maj7    1   x   7   3   5   x
        m7      1   5  b7  b3   5   1
        m7      1   5   1  b3  b7   1
        sus2    1   5   2   5   5   1
        sus4    1   5   1   4   5   1
        dim     1  b5   1  b3   x   x
        aug     1  #5   1   3  #5   1
        m7b5    1   x  b7  b3  b5   x
        dim7    1   x bb7  b3  b5   x
        6       1   5   1   3   6   1
        6       1   x   6   3   5   x
        9       1   5  b7   3   5   9
        m6      1   5   1  b3   6   1
        m6      1   x   6  b3   5   x
        m(maj7) 1   5   7  b3   5   1
        7sus4   1   5  b7   4   5   1
        add9    1   5   9   3   5   1
        6/9     1   x   6   3   5   9
        6/9     1   3   6   9   5   1
        m9      1   5  b7  b3   5   9
        maj9    1   x   7   3   5   9
        7#9     1   5  b7   3   5  #9
        7b9     1   5  b7   3   5  b9
    """,
    "A": """
        maj     x   1   5   1   3   5
        min     x   1   5   1  b3   5
        5       x   1   5   1   x   x
        7       x   1   5  b7   3   5
        7       x   1   5   1   3  b7
        maj7    x   1   5   7   3   5
        m7      x   1   5  b7  b3   5
        m7      x   1   5   1  b3  b7
        sus2    x   1   5   1   2   5
        sus4    x   1   5   1   4   5
        dim     x   1  b5   1  b3   x
        aug     x   1  #5   1   3  #5
        m7b5    x   1  b5  b7  b3   x
        dim7    x   1  b5 bb7  b3   x
        6       x   1   5   1   3   6
        9       x   1   5   9   3  b7
        m6      x   1   5   1  b3   6
        m6      x   1   x   6  b3   5
        m(maj7) x   1   5   7  b3   5
        7sus4   x   1   5  b7   4   5
        add9    x   1   5   9   3   5
        6/9     x   1   5   9   3   6
        m9      x   1   5   9  b3  b7
        maj9    x   1   5   9   3   7
        7b9     x   1   5  b9   3  b7
    """,
    "D": """
        maj     x   x   1   5   1   3
        min     x   x   1   5   1  b3
        5       x   x   1   5   1   x
        7       x   x   1   5  b7   3
        maj7    x   x   1   5   7   3
        m7      x   x   1   5  b7  b3
        sus2    x   x   1   5   1   2
        sus4    x   x   1   5   1   4
        dim     x   x   1  b5   1  b3
        aug     x   x   1  #5   1   3
        m7b5    x   x   1  b5  b7  b3
        dim7    x   x   1  b5 bb7  b3
        6       x   x   1   5   6   3
        9       x   x   1   3  b7   9
        m6      x   x   1   5   6  b3
        m(maj7) x   x   1   5   7  b3
        7sus4   x   x   1   5  b7   4
        add9    x   x   1   5   9   3
        6/9     x   x   1   3   6   9
        maj9    x   x   1   3   7   9
        7#9     x   x   1   3  b7  #9
        7b9     x   x   1   3  b7  b9
    """,
    "C": """
        maj     x   1   3   5   1   3
        min     x   1  b3   5   1   x
        min     x   x   x   5   1  b3
        5       x   1   x   5   1   5
        7       x   1   3  b7   1   x
        maj7    x   1   3   5   7   3
        m7      x   1  b3  b7   1   x
        sus2    x   1   2   5   1   5
        sus4    x   1   4   5   1   4
        dim     x   x  b3  b5   1  b3
        aug     x   1   3  #5   1   3
        m7b5    x   1  b3  b7   1  b5
        dim7    x   1  b3 bb7   1  b5
        6       x   1   3   6   1   x
        9       x   1   3  b7   9   5
        m6      x   1  b3   6   1   x
        m(maj7) x   1  b3   5   7   x
        7sus4   x   1   4  b7   1   4
        add9    x   1   3   5   9   3
        6/9     x   1   3   6   9   5
        m9      x   1  b3  b7   9   x
        maj9    x   1   3   7   9   x
        7#9     x   1   3  b7  #9   x
        7b9     x   1   3  b7  b9   x
    """,
    "G": """
        maj     1   3   5   1   3   1
        min     1  b3   5   1   5   1
        min     x   x   5   1  b3   x
        5       1   x   5   1   5   1
        7       1   3   5   1   3  b7
        maj7    1   3   5   1   3   7
        m7      x   x   5   1  b3  b7
        sus2    1   2   5   1   5   1
        sus4    1   x   5   1   4   1
        dim     x   x  b5   1  b3   x
        aug     1   3  #5   1   3   x
        m7b5    x   x  b5   1  b3  b7
        dim7    x   x  b5   1  b3 bb7
        6       1   3   5   1   3   6
        9       1   x   5   9   3  b7
        m6      x   x   5   1  b3   6
        m(maj7) x   x   5   1  b3   7
        7sus4   1   x   5   1   4  b7
        add9    1   3   5   9   3   1
        6/9     1   3   5   9   3   6
        maj9    1   x   5   9   3   7
        7b9     1   x   5  b9   3  b7
    """,
}


class Grip(NamedTuple):
    """A grip of a form: ``degrees`` by string of the table, last string first; ``main`` is the usual one."""

    form: str
    quality: str
    degrees: tuple[tuple[int, str], ...]
    main: bool

    @property
    def frets(self) -> tuple[tuple[int, int], ...]:
        """String and fret from the anchor in standard tuning."""
        return tuple((string, relative_fret(self.form, string, degree)) for string, degree in self.degrees)


@cache
def letter_class(form: str) -> int:
    """The pitch class of the open chord that a form is named after."""
    return pitch_class(place_of_letter(form))


@cache
def quality(name: str) -> Quality:
    """The row of the chord table for a quality's name here. Raises KeyError for an unknown one."""
    found = quality_of_suffix(QUALITIES[name])
    assert found is not None, name
    return found


def relative_fret(form: str, string: int, degree: str) -> int:
    """Where a degree lies on a string of the table, in frets from the anchor: -1 to 10."""
    semitones = letter_class(form) + degree_semitones(degree) - STRINGS[string - 1]
    return (semitones + 1) % 12 - 1


@cache
def grips() -> tuple[Grip, ...]:
    """All grips, form by form in the order of FORMS."""
    found: list[Grip] = []
    for form in FORMS:
        seen: set[str] = set()
        for row in _GRIPS[form].strip().splitlines():
            name, *degrees = row.split()
            played = tuple((6 - i, degree) for i, degree in enumerate(degrees) if degree != "x")
            found.append(Grip(form, name, played, name not in seen))
            seen.add(name)
    return tuple(found)
