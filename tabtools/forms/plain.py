"""Notes that plainly lie in the form that is written over them: no other reading needs to be looked for."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, lru_cache

from tabtools.forms.neck import Stringing
from tabtools.forms.places import placed
from tabtools.forms.position import in_position
from tabtools.forms.table import REACH, Grip, grips, quality
from tabtools.forms.written import Label
from tabtools.theory.scale import SCALES

_FEWEST = 3  # notes; fewer lie in many forms
_BELOW, _ABOVE = 3, 1  # frets that an anchor lies below or above the first finger
_PITCHES = 4  # of a pentatonic; fewer are of several


def plainly_fits(label: Label, notes: Sequence[tuple[int, int]], neck: Stringing) -> bool:
    """Whether notes, as string and fret from the capo, all belong to the form at the position of a label, or
    to the pentatonic around it.

    A position alone must have them within reach. False says nothing: the notes may fit all the same.
    """
    if label.position is None or len(notes) < _FEWEST:
        return False
    if label.form is None:
        low, high = REACH["D"]
        return all(low <= fret - label.position <= high for _, fret in notes if fret)
    wanted = set(notes)
    frets = [fret for _, fret in notes if fret]
    around = range(label.position - _BELOW, label.position + _ABOVE + 1)
    for anchor in (a for a in around if in_position(label.position, label.form, a, frets)):
        held = (grip for grip in grips() if grip.form == label.form and label.quality in (None, grip.quality))
        if any(wanted <= _places(neck, grip, anchor) for grip in held):
            return True
        if _in_pentatonic(label.form, label.quality, anchor, notes, neck):
            return True
    return False


@lru_cache(maxsize=1024)
def _places(neck: Stringing, grip: Grip, anchor: int) -> frozenset[tuple[int, int]]:
    """String and fret of the notes of a grip at an anchor fret; none where it can't be held there."""
    found = placed(neck, grip, anchor)
    return frozenset((string, fret) for string, fret, _ in found.notes) if found else frozenset()


def _in_pentatonic(
    form: str, name: str | None, anchor: int, notes: Sequence[tuple[int, int]], neck: Stringing
) -> bool:
    """Whether notes within reach of a form, of several pitches, are all of the pentatonic on its root."""
    low, high = REACH[form]
    root = neck.root(form, anchor)
    degrees = {(neck.open_class(string) + fret - root) % 12 for string, fret in notes}
    within = all(low <= fret - anchor <= high for _, fret in notes)
    return within and len(degrees) >= _PITCHES and any(degrees <= scale for scale in _pentatonics(name))


@cache
def _pentatonics(name: str | None) -> tuple[frozenset[int], ...]:
    """The pentatonics that go with a quality, in semitones above the root; both where there is none."""
    thirds = {3: "minor pentatonic", 4: "major pentatonic"}
    own = quality(name).semitones if name else tuple(thirds)
    return tuple(frozenset(SCALES[scale].semitones) for third, scale in thirds.items() if third in own)
