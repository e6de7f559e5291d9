"""Proof that a repair did what it says: the music before and after, compared where it must be the same.

A safe repair must leave tuning and every sounding note as they were: string, fret, pitch, techniques, onset,
duration, and the order in which the bars are played. One that is not safe may do as it likes with the notes
that its edits or its declared changes touch, and may move the other notes of those bars in time; bars that it
does not touch stay.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from tabtools.lint.finding import Edit, Fix
from tabtools.score import Bar, Event, Note, Part, Score
from tabtools.source import Span


def proved(before: Score, after: Score, fixes: Sequence[Fix]) -> bool:
    """Whether the music after some repairs differs from that before them only as they are allowed to."""
    if all(fix.safe for fix in fixes):
        return [_part(part) for part in before.parts] == [_part(part) for part in after.parts]
    edits = sorted((edit for fix in fixes for edit in fix.edits), key=_place)
    changes = [span for fix in fixes for span in fix.changes]
    old = [*(edit.span for edit in edits), *changes]
    new = [*_landed(edits), *(Span(_moved(s.start, edits), _moved(s.end, edits)) for s in changes)]
    return _untouched(before, old) == _untouched(after, new)


def _place(edit: Edit) -> tuple[int, int]:
    return edit.span.start, edit.span.end


def _landed(edits: Sequence[Edit]) -> list[Span]:
    """Where the texts of edits, in order, stand in the new text."""
    spans, shift = [], 0
    for edit in edits:
        start = edit.span.start + shift
        spans.append(Span(start, start + len(edit.text)))
        shift += len(edit.text) - (edit.span.end - edit.span.start)
    return spans


def _moved(offset: int, edits: Sequence[Edit]) -> int:
    """Where a place of the old text lies in the new one."""
    return offset + sum(
        len(edit.text) - (edit.span.end - edit.span.start) for edit in edits if edit.span.end <= offset
    )


def _untouched(score: Score, spans: Sequence[Span]) -> tuple[object, object]:
    """The bars that none of the spans touch; string and fret of the other bars' notes that none touches."""
    whole, notes = [], Counter[object]()
    for part in score.parts:
        kept = []
        for bar in part.bars:
            if not any(_touches(own, span) for own in bar.spans for span in spans):
                kept.append(_bar(bar))
                continue
            for event in bar.events:
                for note in event.notes:
                    own_span = note.span or event.span
                    if own_span and not any(_touches(own_span, span) for span in spans):
                        notes[note.string, note.fret] += 1
        whole.append(kept)
    return whole, notes


def _touches(one: Span, other: Span) -> bool:
    return one.start <= other.end and other.start <= one.end


def _part(part: Part) -> object:
    strings = tuple(pitch.midi for pitch in part.instrument.tuning)
    return strings, part.instrument.capo, [_bar(bar) for bar in part.bars]


def _bar(bar: Bar) -> object:
    """What sounds in a bar, and how it is repeated; rests are left out."""
    events = tuple(sorted((_event(event) for event in bar.events if event.notes), key=repr))
    return bar.repeat_start, bar.repeat_times, bar.endings, events


def _event(event: Event) -> object:
    notes = tuple(sorted((_note(note) for note in event.notes), key=repr))
    return event.onset, event.duration, event.grace, event.voice, notes


def _note(note: Note) -> object:
    pitch = note.pitch.midi if note.pitch else None
    return note.string, note.fret, pitch, note.tied, tuple(technique.word for technique in note.techniques)
