"""Words put into a MusicXML file, which stays as it is otherwise."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.musicxml.edit.insert import insert_before
from tabtools.musicxml.located import Located
from tabtools.musicxml.writing.fragment import tag
from tabtools.score import Event
from tabtools.source import applied


def insert_words(located: Located, words: Iterable[tuple[Event, str]]) -> str:
    """The text with words above the notes of events, each in a ``direction`` of its own before them.

    An event without a span, which no text has, gets none.
    """
    where = located.extents
    elements = {where[note.element].start: note.element for part in located.parts for note in part.notes}
    edits = []
    for event, text in words:
        starts = [start for start in _starts(event) if start in elements]
        if starts:
            kind = tag("direction-type", tag("words", text))
            direction = tag("direction", kind, placement="above")
            edits.append(insert_before(where, elements[min(starts)], direction))
    return applied(where.text, edits)


def _starts(event: Event) -> list[int]:
    """Where the elements of an event begin; those of a tab staff that repeat a note's are not told."""
    spans = [event.span, *(note.span for note in event.notes)]
    return [span.start for span in spans if span is not None]
