"""Where a form's notes lie on an instrument, and which forms a chord has."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from tabtools.forms.neck import Stringing
from tabtools.forms.table import FORMS, QUALITIES, REACH, Grip, grips, quality, relative_fret
from tabtools.instrument import GUITAR
from tabtools.record import NamedTuple
from tabtools.theory.chord import Chord
from tabtools.theory.line_of_fifths import pitch_class, place

_MIDDLE = 5  # a fret where every form can be held


class PlacedGrip(NamedTuple):
    """A grip at an anchor fret: string, fret from the capo and degree of each note, last string first.

    ``whole`` is true where every string of the grip is there: a string that is tuned far from its place in
    the table, or that the instrument lacks, is left out.
    """

    grip: Grip
    anchor: int
    notes: tuple[tuple[int, int, str], ...]
    whole: bool


def placed(neck: Stringing, grip: Grip, anchor: int) -> PlacedGrip | None:
    """A grip on an instrument; None where it would lie below the nut or beyond the last fret."""
    strings = {line: i + 1 for i, line in enumerate(neck.lines)}
    low, high = REACH[grip.form]
    notes = []
    for line, degree in grip.degrees:
        if line not in strings:
            continue
        string = strings[line]
        shape = anchor + relative_fret(grip.form, line, degree)
        fret = shape - neck.retuned(string)
        if not 0 <= fret <= neck.frets and shape == fret:
            return None
        if 0 <= fret <= neck.frets and low <= fret - anchor <= high:
            notes.append((string, fret, degree))
    whole = len(notes) == len(grip.degrees)
    return PlacedGrip(grip, anchor, tuple(notes), whole) if len(notes) > 1 else None


def form_grip(neck: Stringing, form: str, name: str, anchor: int) -> PlacedGrip | None:
    """The first grip of a form and quality that can be held at an anchor fret."""
    for grip in grips():
        if (grip.form, grip.quality) == (form, name):
            found = placed(neck, grip, anchor)
            if found is not None:
                return found
    return None


@cache
def barre_of(form: str, name: str, anchor: int) -> int | None:
    """The fret at which a finger lies across strings in the usual grip of a form and quality; None where
    fingers do without a barre. It is that of a guitar in standard tuning."""
    from tabtools.fingering.hand import grips as hand_grips

    at = 0 if anchor <= 0 else _MIDDLE
    grip = next(grip for grip in grips() if (grip.form, grip.quality) == (form, name))
    frets = [(string, at + fret) for string, fret in grip.frets]
    held = hand_grips(GUITAR, [(string, fret) for string, fret in frets if fret >= 0])
    across = [press.fret for press in (held[0].presses if held else ()) if len(press.strings) > 1]
    return anchor + min(across) - at if across else None


def chord_grips(neck: Stringing, chord: Chord) -> Iterator[PlacedGrip]:
    """Every form of a chord along the neck, in its sounding pitch; of the nearest chord that has forms."""
    root = pitch_class(place(chord.root_step, chord.root_alter))
    name = quality_of(chord)
    for form in FORMS:
        for anchor in neck.anchors(form, root):
            found = form_grip(neck, form, name, anchor)
            if found is not None:
                yield found


def quality_of(chord: Chord) -> str:
    """The quality among those that have forms which holds most of a chord and nothing else.

    Raises ValueError for a chord that holds none of them.
    """
    own = set(chord.quality.semitones)
    inside = [name for name in QUALITIES if set(quality(name).semitones) <= own]
    if not inside:
        raise ValueError(f"no form is known for {chord.text}")
    return max(inside, key=lambda name: len(quality(name).semitones))
