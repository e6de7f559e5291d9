"""Words put into the text of a MusicXML file, which stays as it is otherwise."""

from __future__ import annotations

from collections.abc import Iterable
from xml.sax.saxutils import escape

from tabtools.score import Event


def insert_words(text: str, words: Iterable[tuple[Event, str]]) -> str:
    """The text with words above the notes of events, each in a ``direction`` of its own before them.

    An event without a span, which no text has, gets none.
    """
    places = [(min(_starts(event)), said) for event, said in words if _starts(event)]
    for start, said in sorted(places, reverse=True):
        line = text.rfind("\n", 0, start) + 1
        indent = text[line:start] if not text[line:start].strip() else ""
        kind = f"<direction-type><words>{escape(said)}</words></direction-type>"
        direction = f'<direction placement="above">{kind}</direction>'
        text = f"{text[:start]}{direction}{chr(10) if indent else ''}{indent}{text[start:]}"
    return text


def _starts(event: Event) -> list[int]:
    """Where the elements of an event begin; those of a tab staff that repeat a note's are not told."""
    spans = [event.span, *(note.span for note in event.notes)]
    return [span.start for span in spans if span is not None]
