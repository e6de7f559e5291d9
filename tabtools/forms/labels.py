"""Forms and positions that an author wrote over the notes, and whether the notes bear them out."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from tabtools.forms.naming import Reading, Segment
from tabtools.forms.neck import Neck
from tabtools.forms.table import BARRE, QUALITIES, REACH, quality
from tabtools.theory.line_of_fifths import pitch_class, place_of_letter

_THIRDS = {3, 4}
_ORDINALS = {
    word: number
    for number, word in enumerate(
        [
            "first",
            "second",
            "third",
            "fourth",
            "fifth",
            "sixth",
            "seventh",
            "eighth",
            "ninth",
            "tenth",
            "eleventh",
            "twelfth",
        ],
        1,
    )
}


@dataclass(frozen=True, slots=True)
class Label:
    """What a text over the notes says: a form letter, a quality, a position; None for what it leaves out.

    ``position`` is a fret, 0 for the open position.
    """

    form: str | None
    quality: str | None
    position: int | None


@cache
def _patterns() -> tuple[re.Pattern[str], re.Pattern[str]]:
    suffixes = "|".join(sorted(map(re.escape, filter(None, QUALITIES.values())), key=len, reverse=True))
    form = rf"(?<![\w#])([EADCG])({suffixes})?[- ](?:form|shape)\b"
    number = rf"(\d{{1,2}})(?:st|nd|rd|th)?|{'|'.join(_ORDINALS)}"
    place = rf"(?P<open>open) pos|\b(?P<at>{number}) (?:pos\b|position)|\b(?:at )?fret (?P<fret>\d{{1,2}})\b"
    return re.compile(form), re.compile(place, re.IGNORECASE)


def parse_label(text: str) -> Label | None:
    """The form and position that a text names; None where it names neither, or several of one."""
    form_pattern, place_pattern = _patterns()
    forms, places = list(form_pattern.finditer(text)), list(place_pattern.finditer(text))
    if len(forms) > 1 or not forms + places:
        return None
    form = suffix = position = None
    if forms:
        form, suffix = forms[0].groups()
    if len(places) == 1:
        position = _position(places[0])
    elif len(places) > 1 or not forms:
        return None
    name = {value: key for key, value in QUALITIES.items()}[suffix] if suffix else None
    return Label(form, name, position)


def _position(match: re.Match[str]) -> int:
    if match["open"]:
        return 0
    word = match["fret"] or match["at"].lower()
    return _ORDINALS.get(word) or int(re.sub(r"\D", "", word))


def fits(label: Label, segment: Segment, neck: Neck) -> bool:
    """Whether a segment's notes can be what a label says.

    They can where the form at that place has the root of one of the segment's readings, no other third,
    and its notes within reach. A position alone must have them within reach.
    """
    frets = [named.note.fret for named in segment.notes if named.member and named.note.fret]
    if label.form is None:
        return label.position is None or _reaches("D", label.position, frets)
    return any(
        _root_class(reading) == neck.root(label.form, anchor)
        and _same_third(label, reading)
        and _reaches(label.form, anchor, frets)
        for reading in _readings(segment)
        for anchor in _anchors(label, neck)
    )


def _anchors(label: Label, neck: Neck) -> list[int]:
    """The anchors that a label may mean: a position is that of the anchor or of the barre."""
    assert label.form is not None
    if label.position is None:
        return list(range(neck.lowest, neck.frets))
    return sorted({label.position, label.position - BARRE[label.form]})


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
