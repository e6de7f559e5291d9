"""Positions of scales on the neck: the five pentatonic boxes, and boxes of any scale."""

from __future__ import annotations

from functools import cache

from tabtools.forms.neck import Stringing
from tabtools.forms.table import letter_class
from tabtools.record import NamedTuple
from tabtools.score import Key
from tabtools.theory.line_of_fifths import pitch_class, place_of_letter, step_alter
from tabtools.theory.scale import SCALES, scale_notes

MINOR_PENTATONIC = SCALES["minor pentatonic"].semitones
_NEXT_STRING = (5, 4, 5, 5, 5)  # semitones from each string to the one below it, string 1 first
BOXES = (1, 2, 3, 4, 5)
BLUE = 6  # semitones above the minor tonic
RELATIVE = 3  # semitones from the minor tonic to that of the relative major


class Box(NamedTuple):
    """A pentatonic box. ``number`` counts from the one whose minor tonic is the lowest note on string 6
    (a handbook's numbering; others count differently, so show the forms too).

    ``frets`` are by string of the form table, from the fret of the minor tonic on string 6.
    """

    number: int
    frets: tuple[tuple[int, int], ...]
    minor_form: str
    major_form: str

    @property
    def position(self) -> tuple[int, int]:
        """Lowest and highest fret of the box, counted like its frets."""
        return min(low for low, _ in self.frets), max(high for _, high in self.frets)


# Which movable form lies inside each box, as minor and as relative major; [H9] of the reference: a course
# handbook's five patterns, where pattern 1 goes with the root-6 and pattern 4 with the root-5 minor chord.
_FORMS = (("E", "G"), ("D", "E"), ("C", "D"), ("A", "C"), ("G", "A"))


@cache
def boxes() -> tuple[Box, ...]:
    """The five boxes: two neighbouring notes of the scale on each string, from every note on string 6."""
    found = []
    for first, (minor, major) in enumerate(_FORMS):
        frets, below = [], 0
        for string in range(6, 0, -1):
            at = first + 2 * (6 - string)
            notes = [MINOR_PENTATONIC[i % 5] + 12 * (i // 5) - below for i in (at, at + 1)]
            frets.append((notes[0], notes[1]))
            below += _NEXT_STRING[string - 2] if string > 1 else 0
        found.append(Box(first + 1, tuple(reversed(frets)), minor, major))
    return tuple(found)


def minor_key(root: str) -> Key:
    """The minor key of a note name, as in ``F#``."""
    return Key(*step_alter(place_of_letter(root)), "minor")


def anchor(form: str, root: int, low: int, high: int) -> int:
    """The anchor fret of a form that puts its root, given above the form table's tuning, into a position.

    ``low`` and ``high`` bound where the hand is; the anchor is the one nearest to their middle.
    """
    first = (root - letter_class(form)) % 12
    middle = (low + high) // 2
    return min((first + 12 * octave for octave in (-1, 0, 1, 2)), key=lambda n: (abs(n - middle), n))


def scale_box(
    neck: Stringing, tonic: str, scale: str, low: int, high: int
) -> tuple[tuple[int, tuple[tuple[int, str], ...]], ...]:
    """A scale's notes between two frets, counted from the capo: each string with its frets and note names.

    The last string comes first. Raises ValueError for an unknown scale or note name.
    """
    names = {pitch_class(place_of_letter(name)): name for name in scale_notes(tonic, scale)}
    rows = []
    for string in range(len(neck.lines), 0, -1):
        found = (
            (fret, names.get((neck.open_class(string) + fret) % 12)) for fret in range(max(low, 0), high + 1)
        )
        rows.append((string, tuple((fret, name) for fret, name in found if name is not None)))
    return tuple(rows)
