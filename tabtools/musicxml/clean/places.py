"""Notes on a tab staff that lack their string or their fret."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.edit.insert import insert_after, insert_before
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.located import LocatedBar, LocatedNote, LocatedPart
from tabtools.musicxml.writing.fragment import tag
from tabtools.theory.spelling import spell

RULE = "place-missing"
_MAX_FRET = 24


def faults(where: Extents, parts: Sequence[LocatedPart]) -> Iterator[Fault]:
    """A fault for every note on a tab staff without string or fret, where others have them.

    A staff on which no note has a place is not fingered yet, which is no fault.
    """
    for part in parts:
        notes = [note for note in part.notes if note.in_force.tab and _wants_place(note)]
        if any(_is_placed(note) for note in notes):
            yield from (_fault(where, note, part.bar_of(note)) for note in notes if not _is_placed(note))


def _wants_place(note: LocatedNote) -> bool:
    """Whether tab shows it as a number: no rest, no end of a tie, and nothing without a pitch."""
    return not (note.rest or note.cue or note.auxiliary or note.tied) and note.midi is not None


def _is_placed(note: LocatedNote) -> bool:
    return note.string is not None and note.fret is not None


def _fault(where: Extents, note: LocatedNote, bar: LocatedBar) -> Fault:
    both = note.string is None and note.fret is None
    lacking = "neither string nor fret" if both else "no string" if note.string is None else "no fret"
    name = spell(note.sounding, None).name if note.sounding is not None else "a note"
    repair = None if both else _repaired(where, note, bar)
    advice = "tabtools finger finds a place" if both else "write it" if repair else "write it, or both anew"
    message = f"{name} on the tab staff has {lacking}: {advice}"
    return Fault(RULE, where[note.element].span, message, note.bar, repair)


def _repaired(where: Extents, note: LocatedNote, bar: LocatedBar) -> Repair | None:
    """The string or the fret that gives the pitch with the other, if only one does."""
    if note.sounding is None:
        return None
    taken = {
        other.string
        for other in bar.notes
        if other is not note and other.staff == note.staff and other.onset == note.onset
    }
    found = [
        (string, fret)
        for string, pitch in note.open_strings.items()
        for fret in (note.sounding - pitch,)
        if 0 <= fret <= _MAX_FRET and string not in taken
        if string == note.string or fret == note.fret
    ]
    if len(found) != 1:
        return None
    string, fret = (note.element.find(f"notations/technical/{name}") for name in ("string", "fret"))
    if fret is not None:
        edit, words = insert_before(where, fret, tag("string", found[0][0])), f"string {found[0][0]}"
    else:
        assert string is not None
        edit, words = insert_after(where, string, tag("fret", found[0][1])), f"fret {found[0][1]}"
    return Repair((edit,), f"write {words}: only so the note has its pitch", safe=False)
