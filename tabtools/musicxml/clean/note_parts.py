"""Notes that lack their pitch, their duration or a type that is known, and parts that miscount their
staves."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.edit.insert import insert, set_text
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.located import LocatedNote, LocatedPart
from tabtools.musicxml.writing.fragment import decimal, tag
from tabtools.theory.duration import TYPES, single

RULE = "note-incomplete"
TYPE = "type-duration-mismatch"
STAVES = "staves-miscounted"
# Longer and shorter than any type that we write, and known all the same.
_RARE_TYPES = ("maxima", "long", "breve", "512th", "1024th")


def faults(where: Extents, parts: Sequence[LocatedPart]) -> Iterator[Fault]:
    """A fault for every such note and every such part."""
    for part in parts:
        yield from _staves(where, part)
        for note in part.notes:
            if note.pitch is None and not (note.rest or note.unpitched or note.faulty):
                message = (
                    "the note has neither a pitch nor a rest, so that nobody knows what it "
                    "is: write its pitch"
                )
                yield Fault(RULE, where[note.element].span, message, note.bar)
            if note.ticks is None and note.duration > 0 and not (note.grace or note.faulty):
                yield _lasting(where, note)
            if note.ticks == 0 and not note.grace:
                message = (
                    "the note lasts 0 divisions and is no grace note: write its duration, or "
                    "<grace/> instead of it"
                )
                yield Fault(RULE, where[note.element].span, message, note.bar)
            if note.value and note.value not in TYPES and note.value not in _RARE_TYPES:
                yield _typed(where, note)


def _lasting(where: Extents, note: LocatedNote) -> Fault:
    """The fault of a note without a duration; it is read as long as it is written."""
    message = (
        f"the note has no duration, and is read as {note.duration} quarter notes long, as written: add it"
    )
    amount = note.duration * note.divisions
    repair = None
    if amount.denominator == 1:
        edits = insert(where, note.element, tag("duration", decimal(amount)))
        repair = Repair(tuple(edits), f"write the duration {amount}, as the note is written")
    return Fault(RULE, where[note.element].span, message, note.bar, repair)


def _typed(where: Extents, note: LocatedNote) -> Fault:
    element = note.element.find("type")
    assert element is not None
    value = single(note.duration, note.tuplet)
    message = f"there is no note value {note.value!r}: the note lasts {note.duration} quarter notes"
    repair = None
    if value is not None and value.dots == note.dots:
        message += f", which is written as {value.type}"
        repair = Repair((set_text(where, element, value.type),), f"write it as {value.type}")
    return Fault(TYPE, where[element].span, message, note.bar, repair)


def _staves(where: Extents, part: LocatedPart) -> Iterator[Fault]:
    """A fault where notes stand on more staves than the part says it has."""
    highest = max((note.staff for note in part.notes), default=1)
    if highest <= part.staves:
        return
    stray = next(note for note in part.notes if note.staff > part.staves)
    message = (
        f"the note stands on staff {stray.staff}, and the part says that it has {part.staves}: write "
        f"<staves>{highest}</staves> into its first attributes, or correct the staff"
    )
    attributes = part.bars[0].content.find("attributes")
    given = attributes.find("staves") if attributes is not None else None
    repair = None
    if attributes is not None and given is None and highest <= _clefs(part):
        edits = insert(where, attributes, tag("staves", highest))
        repair = Repair(tuple(edits), f"write <staves>{highest}</staves>: there is a clef for each")
    yield Fault(STAVES, where[stray.element].span, message, stray.bar, repair)


def _clefs(part: LocatedPart) -> int:
    """How many staves the part has clefs for at its beginning."""
    return len({clef.get("number") or "1" for clef in part.bars[0].content.iterfind("attributes/clef")})
