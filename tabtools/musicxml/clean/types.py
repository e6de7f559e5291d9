"""Note values that contradict the durations."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.edit.insert import insert, remove, set_text
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.located import LocatedBar, LocatedNote, LocatedPart
from tabtools.musicxml.writing.fragment import tag
from tabtools.score import Quarters
from tabtools.source import Edit
from tabtools.theory.duration import single

RULE = "type-duration-mismatch"


def faults(where: Extents, parts: Sequence[LocatedPart]) -> Iterator[Fault]:
    """A fault for every note whose written value is not its duration."""
    for part in parts:
        for measure in part.bars:
            for notes in measure.voices().values():
                wrong = [(note, value) for note in notes if (value := _contradicting(note)) is not None]
                yield from (_fault(where, note, value, measure, wrong) for note, value in wrong)


def _contradicting(note: LocatedNote) -> Quarters | None:
    """The written value of a note, where it is known and not the duration."""
    value = note.written_length
    if note.grace or note.duration <= 0 or value is None or _is_whole_bar(note):
        return None
    if value == note.duration or _is_rounded(note, value):
        return None
    # A tremolo's notes are written with twice their length.
    return None if note.has("tremolo") else value


def _is_rounded(note: LocatedNote, value: Quarters) -> bool:
    """Whether the duration is as near as the divisions come to the value.

    One that is a plain value itself is no rounded one, unless of a tuplet or of less than a division.
    """
    if abs(value - note.duration) * note.divisions >= 1:
        return False
    return note.tuplet is not None or value * note.divisions < 1 or single(note.duration, None) is None


def _is_whole_bar(note: LocatedNote) -> bool:
    return note.rest and (note.whole_bar or note.value == "whole")


def _fault(
    where: Extents,
    note: LocatedNote,
    value: Quarters,
    measure: LocatedBar,
    wrong: list[tuple[LocatedNote, Quarters]],
) -> Fault:
    head = next(n for n in measure.voices()[note.voice] if n.onset == note.onset or n is note)
    shift = sum((v - n.duration for n, v in wrong if not n.chord), Fraction(0))
    end = max(n.onset + n.duration for n in measure.voices()[note.voice])
    message = (
        f"the note is written as {note.value}{' dotted' * bool(note.dots)} ({value} quarter "
        f"notes) but lasts {note.duration}: make type and duration agree"
    )
    repair = None
    if _beside_grace(note, measure):
        message += ": the grace note beside it seems to have taken the rest of its time"
    elif note.chord and head.duration != note.duration:
        # The notes of a chord last as long as its first one.
        repair = _relengthened(where, note, value) if head.duration == value else None
    elif end == measure.length:
        repair = _retyped(where, note)
    elif end + shift == measure.length:
        repair = _relengthened(where, note, value)
    wrong_one = note.element.find("duration" if repair and not repair.safe else "type")
    return Fault(
        RULE, where[note.element if wrong_one is None else wrong_one].span, message, note.bar, repair
    )


def _beside_grace(note: LocatedNote, measure: LocatedBar) -> bool:
    """Whether a note of the voice next to this one is a grace note."""
    voice = measure.voices()[note.voice]
    place = voice.index(note)
    return any(beside.grace for beside in voice[max(0, place - 1) : place + 2])


def _retyped(where: Extents, note: LocatedNote) -> Repair | None:
    """The type that the duration has; the bar's durations fill the metre."""
    value = single(note.duration, note.tuplet)
    kind = note.element.find("type")
    if value is None or kind is None:
        return None
    edits: list[Edit] = [] if value.type == kind.text else [set_text(where, kind, value.type)]
    dots = note.element.findall("dot")
    edits += [remove(where, dot) for dot in dots[value.dots :]]
    missing = value.dots - len(dots)
    if missing > 0:
        edits += insert(where, note.element, *[tag("dot")] * missing)
    words = f"write it as {value.type}{' dotted' * value.dots}: the durations fill the bar"
    return Repair(tuple(edits), words)


def _relengthened(where: Extents, note: LocatedNote, value: Quarters) -> Repair | None:
    """The duration that the type has; with it the bar is full."""
    element, amount = note.element.find("duration"), value * note.divisions
    if element is None or amount.denominator != 1:
        return None
    words = f"make the duration {amount}: with it the bar is full"
    return Repair((set_text(where, element, str(amount)),), words, safe=False)
