"""Whether the notes bear out the form or the position that an author wrote over them."""

from __future__ import annotations

from tabtools.forms.neck import Stringing
from tabtools.forms.position import in_position
from tabtools.forms.segments import Reading, Segment
from tabtools.forms.table import REACH, quality
from tabtools.forms.written import Label
from tabtools.theory.line_of_fifths import pitch_class, place_of_letter

_THIRDS = {3, 4}


def fits(label: Label, segment: Segment, neck: Stringing) -> bool:
    """Whether a segment's notes can be what a label says.

    They can where the form, at an anchor that goes with the position, has the root of one of the segment's
    readings, no other third, and its notes within reach. A position alone must have them within reach.
    """
    frets = [named.note.fret for named in segment.notes if named.member and named.note.fret]
    # Notes between those of the form may be what the first finger is on.
    under_hand = [named.note.fret for named in segment.notes if named.note.fret]
    if label.form is None:
        return label.position is None or _reaches("D", label.position, frets)
    if any(_names(label, reading, segment.position) for reading in _readings(segment)):
        return True
    return any(
        _root_class(reading) == neck.root(label.form, anchor)
        and _same_third(label, reading)
        and _reaches(label.form, anchor, frets)
        for reading in _readings(segment)
        for anchor in range(neck.lowest, neck.frets)
        if label.position is None
        or in_position(label.position, label.form, anchor, frets)
        or in_position(label.position, label.form, anchor, under_hand)
    )


def _names(label: Label, reading: Reading, position: int) -> bool:
    """Whether a label says what a reading is called."""
    same = label.form == reading.form and _same_third(label, reading)
    return same and label.position in (None, position, reading.anchor_fret)


def _readings(segment: Segment) -> list[Reading]:
    if segment.box is not None:
        return [segment.box.minor, segment.box.major]
    found = [segment.reading] if segment.reading else []
    return found if segment.sure else [*found, *segment.readings]


def _root_class(reading: Reading) -> int:
    return pitch_class(place_of_letter(reading.root))


def _same_third(label: Label, reading: Reading) -> bool:
    """A letter alone names the form whatever its quality; a quality must not contradict the third."""
    if label.quality is None:
        return True
    written, read = set(quality(label.quality).semitones), set(quality(reading.quality).semitones)
    return len((written | read) & _THIRDS) < 2


def _reaches(form: str, anchor: int, frets: list[int]) -> bool:
    low, high = REACH[form]
    return all(low <= fret - anchor <= high for fret in frets)
