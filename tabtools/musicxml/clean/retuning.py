"""A tuning or a capo that all notes of a part deny together: upside down, or the capo wrong."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from lxml import etree

from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.clean.pitches import write_pitch
from tabtools.musicxml.edit.insert import insert, remove, set_text
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.located import LocatedNote, LocatedPart
from tabtools.musicxml.writing.fragment import tag
from tabtools.source import Edit, Span

RULE = "fret-pitch-mismatch"
_ENOUGH_NOTES, _ENOUGH_STRINGS = 3, 2
_HIGHEST_CAPO = 12


def faults(where: Extents, parts: Sequence[LocatedPart]) -> Iterator[Fault]:
    """One fault for a part whose frets sound the pitches written with another capo, or with the tuning turned
    upside down, and do not as it is."""
    for part in parts:
        notes = [
            n
            for n in part.notes
            if n.fretted is not None and n.sounding is not None and not n.sounds_elsewhere
        ]
        strings = {note.string for note in notes}
        details = _only_tuning(part)
        if details is None or len(notes) < _ENOUGH_NOTES or len(strings) < _ENOUGH_STRINGS:
            continue
        if _all_sound(notes, lambda note: note.fretted or 0):
            continue
        if _all_sound(notes, _turned):
            yield _upside_down(where, part, details)
        elif (capo := _other_capo(notes)) is not None:
            yield _with_capo(where, part, details, capo)


def _only_tuning(part: LocatedPart) -> etree._Element | None:
    """The one element that tunes the part; None where there are several, or none."""
    found = [d for bar in part.bars for d in bar.content.iterfind("attributes/staff-details")]
    retuned = len({note.in_force.instrument for note in part.notes}) > 1
    return found[0] if len(found) == 1 and not retuned and found[0].find("staff-tuning") is not None else None


def _all_sound(notes: Sequence[LocatedNote], fretted: Callable[[LocatedNote], int]) -> bool:
    """Whether all notes sound what is written, whole octaves that they share aside."""
    apart = {(note.sounding or 0) - fretted(note) for note in notes}
    return len(apart) == 1 and apart.pop() % 12 == 0


def _turned(note: LocatedNote) -> int:
    """What string and fret would sound with the strings in the other order."""
    instrument, string = note.in_force.instrument, note.string or 1
    return instrument.tuning[-string].midi + instrument.capo + (note.fret or 0)


def _other_capo(notes: Sequence[LocatedNote]) -> int | None:
    """The capo with which all notes would sound what is written; None where there is no such fret."""
    apart = {(note.sounding or 0) - (note.fretted or 0) for note in notes}
    capo = notes[0].in_force.instrument.capo + apart.pop()
    return capo if not apart and 0 <= capo <= _HIGHEST_CAPO else None


def _upside_down(where: Extents, part: LocatedPart, details: etree._Element) -> Fault:
    lines = details.findall("staff-tuning")
    edits: list[Edit] = []
    for element, pitch in zip(lines, part.instrument.tuning, strict=True):
        edits += write_pitch(where, element, pitch, "tuning-")
    message = (
        "the lines of the tuning are in the wrong order, the highest string at the bottom: with them turned "
        "round every fret sounds the pitch that is written"
    )
    return _fault(where, part, details, message, edits, "turn the lines of the tuning round")


def _with_capo(where: Extents, part: LocatedPart, details: etree._Element, capo: int) -> Fault:
    given = details.find("capo")
    if given is None:
        edits = insert(where, details, tag("capo", capo))
    else:
        edits = [set_text(where, given, str(capo)) if capo else remove(where, given)]
    has = f"a capo at fret {part.instrument.capo}" if part.instrument.capo else "no capo"
    wanted = f"one at fret {capo}" if capo else "none"
    message = f"the part has {has}, and every note is written as with {wanted}: correct the capo"
    return _fault(
        where, part, details, message, edits, f"write a capo at fret {capo}" if capo else "take the capo out"
    )


def _fault(
    where: Extents, part: LocatedPart, details: etree._Element, message: str, edits: list[Edit], words: str
) -> Fault:
    span = Span(where[part.bars[0].content].start, where[part.bars[-1].content].end)
    # Every note of the part is read with the new tuning.
    repair = Repair(
        tuple(edits), f"{words}: the pitches and frets of all notes prove it", safe=False, changes=(span,)
    )
    return Fault(RULE, where[details].span, message, None, repair, span)
