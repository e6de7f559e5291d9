"""Strings, frets, fingers and chord frames into a MusicXML file, everything else left as it stands."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from lxml import etree

from tabtools.document import Document
from tabtools.musicxml.edit.insert import insert, insert_at, set_text
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.located import Located
from tabtools.musicxml.writing.fragment import Fragment, tag
from tabtools.score import Event, Harmony, Note, Score
from tabtools.source import Edit, applied

_FEWEST_IN_FRAME = 3
_FRAME_FRETS = 4


def with_fingers(document: Document, score: Score) -> str:
    """The text of a MusicXML document with what ``score`` says more about string, fret and finger.

    ``score`` is the document's own with these filled in: its spans say where the notes stand. A chord symbol
    over a chord of three notes or more gets a frame, unless it has one.
    """
    assert document.located is not None
    edits = [*_notes(document.located, document.score, score), *_frames(document.located.extents, score)]
    return applied(document.source.text, edits)


def _notes(located: Located, before: Score, after: Score) -> Iterator[Edit]:
    where = located.extents
    elements = {where[note.element].start: note.element for part in located.parts for note in part.notes}
    for old, new in zip(_all_notes(before), _all_notes(after), strict=True):
        if new.span is not None and old != new:
            yield from _changed(where, elements[new.span.start], old, new)


def _all_notes(score: Score) -> Iterator[Note]:
    for part in score.parts:
        for bar in part.bars:
            for event in bar.events:
                yield from event.notes


def _changed(where: Extents, element: etree._Element, old: Note, new: Note) -> Iterator[Edit]:
    """The edits for one note: new texts for what it has of string, fret and finger, and what it lacks."""
    missing = []
    for name, before, after in (
        ("fingering", old.finger, new.finger),
        ("string", old.string, new.string),
        ("fret", old.fret, new.fret),
    ):
        if after is None or before == after:
            continue
        holder = element.find(f"notations/technical/{name}")
        if holder is None:
            missing.append(tag(name, after))
        else:
            yield set_text(where, holder, str(after))
    if missing:
        yield from insert_at(where, element, "notations/technical", *missing)


def _frames(where: Extents, score: Score) -> Iterator[Edit]:
    elements = {where[element].start: element for element in where.root.iter("harmony")}
    for part in score.parts:
        strings = len(part.instrument.tuning)
        for bar in part.bars:
            for harmony in bar.harmonies:
                notes = _struck_with(harmony, bar.events)
                if harmony.span is None or len(notes) < _FEWEST_IN_FRAME:
                    continue
                element = elements[harmony.span.start]
                if element.find("frame") is None:
                    yield from insert(where, element, _frame(notes, strings))


def _struck_with(harmony: Harmony, events: Iterable[Event]) -> list[Note]:
    return [
        note
        for event in events
        if event.onset == harmony.onset and not event.grace
        for note in event.notes
        if note.string is not None and note.fret is not None
    ]


def _frame(notes: list[Note], strings: int) -> Fragment:
    """A chord diagram; a finger on several strings is a barre, from the last string to the first."""
    held = sorted(notes, key=lambda note: -(note.string or 0))
    frets = [note.fret for note in held if note.fret]
    first = min(frets, default=1) if max(frets, default=0) > _FRAME_FRETS else 1
    size = max(_FRAME_FRETS, max(frets, default=0) - first + 1)
    head = [tag("frame-strings", strings), tag("frame-frets", size)]
    if first > 1:
        head.append(tag("first-fret", first))
    return tag("frame", *head, *(_frame_note(note, held) for note in held))


def _frame_note(note: Note, held: list[Note]) -> Fragment:
    same = [n for n in held if note.fret and note.finger and n.finger == note.finger]
    place = [tag("string", note.string or 0), tag("fret", note.fret or 0)]
    if note.fret and note.finger:
        place.append(tag("fingering", note.finger))
    if len(same) > 1 and note in (same[0], same[-1]):
        place.append(tag("barre", type="start" if note is same[0] else "stop"))
    return tag("frame-note", *place)
