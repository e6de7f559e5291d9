"""Notes that are joined on their string: which note leads to which."""

from __future__ import annotations

from collections.abc import Iterator

from tabtools.lint.places import notes, span_of
from tabtools.record import NamedTuple
from tabtools.score import Bar, Event, Note, Score
from tabtools.source import Span


class Join(NamedTuple):
    """A note that is reached from another on the same string, and where both stand."""

    bar: Bar
    before: Note
    after: Note
    before_span: Span
    span: Span


def joins(score: Score, *names: str) -> Iterator[Join]:
    """Every note with a technique of these names, with the last note before it on its string."""
    last: dict[tuple[int, int | None], tuple[Bar, Event, Note]] = {}
    for part, bar, event, note in notes(score):
        key = (id(part), note.string)
        before = last.get(key)
        if before and note.string is not None and note.has(*names):
            spans = span_of(*before[::-1]), span_of(note, event, bar)
            yield Join(bar, before[2], note, *spans)
        last[key] = (bar, event, note)
