"""Note values that contradict the durations."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.edit.insert import insert, remove, set_text
from tabtools.musicxml.positions import Located
from tabtools.musicxml.walk import Measure, Noted, Track, text, whole
from tabtools.musicxml.writing.fragment import tag
from tabtools.score import Quarters, Tuplet
from tabtools.source import Edit
from tabtools.theory.duration import TYPES, single

RULE = "type-duration-mismatch"


def faults(where: Located, tracks: Sequence[Track]) -> Iterator[Fault]:
    """A fault for every note whose written value is not its duration."""
    for track in tracks:
        for measure in track.measures:
            for notes in measure.voices().values():
                wrong = [(note, value) for note in notes if (value := _contradicting(note)) is not None]
                yield from (_fault(where, note, value, measure, wrong) for note, value in wrong)


def _contradicting(note: Noted) -> Quarters | None:
    """The written value of a note, where it is known and not the duration."""
    name = text(note.element, "type") or ""
    if note.grace or note.duration <= 0 or name not in TYPES or _is_whole_bar(note):
        return None
    ratio = _ratio(note)
    value = TYPES[name] * (2 - Fraction(1, 2 ** len(note.element.findall("dot"))))
    value = value * ratio.normal / ratio.actual if ratio else value
    if value == note.duration or _is_rounded(note, value, ratio):
        return None
    # A tremolo's notes are written with twice their length.
    return None if note.has("notations/ornaments/tremolo") else value


def _is_rounded(note: Noted, value: Quarters, ratio: Tuplet | None) -> bool:
    """Whether the duration is as near as the divisions come to the value.

    One that is a plain value itself is no rounded one, unless of a tuplet or of less than a division.
    """
    if abs(value - note.duration) * note.divisions >= 1:
        return False
    return ratio is not None or value * note.divisions < 1 or single(note.duration, None) is None


def _is_whole_bar(note: Noted) -> bool:
    rest = note.element.find("rest")
    whole_note = text(note.element, "type") == "whole"
    return rest is not None and (rest.get("measure") == "yes" or whole_note)


def _ratio(note: Noted) -> Tuplet | None:
    element = note.element.find("time-modification")
    if element is None:
        return None
    return Tuplet(
        max(1, whole(element.find("actual-notes"), 1)), max(1, whole(element.find("normal-notes"), 1))
    )


def _fault(
    where: Located, note: Noted, value: Quarters, measure: Measure, wrong: list[tuple[Noted, Quarters]]
) -> Fault:
    head = next(n for n in measure.voices()[note.voice] if n.onset == note.onset or n is note)
    shift = sum((v - n.duration for n, v in wrong if not n.chord), Fraction(0))
    end = max(n.onset + n.duration for n in measure.voices()[note.voice])
    message = (
        f"the note is written as {text(note.element, 'type')}{' dotted' * note.has('dot')} ({value} quarter "
        f"notes) but lasts {note.duration}: make type and duration agree"
    )
    repair = None
    if note.chord and head.duration != note.duration:
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


def _retyped(where: Located, note: Noted) -> Repair | None:
    """The type that the duration has; the bar's durations fill the metre."""
    value = single(note.duration, _ratio(note))
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


def _relengthened(where: Located, note: Noted, value: Quarters) -> Repair | None:
    """The duration that the type has; with it the bar is full."""
    element, amount = note.element.find("duration"), value * note.divisions
    if element is None or amount.denominator != 1:
        return None
    words = f"make the duration {amount}: with it the bar is full"
    return Repair((set_text(where, element, str(amount)),), words, safe=False)
