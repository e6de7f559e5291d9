"""A lesson with the names of its forms over the notes, read again before it is handed out."""

from __future__ import annotations

from collections import Counter
from collections.abc import Hashable

from tabtools.document import Document
from tabtools.reading import read
from tabtools.score import Event, Score

_Word = tuple[Event, str]


def named_lesson(document: Document) -> tuple[bytes, int]:
    """The bytes of a document with the forms' names, and how many names found no place.

    A name is put in only if it is read again at its bar, and all of them only if the notes stay the same;
    ValueError says that they do not.
    """
    from tabtools.forms.annotate import form_words
    from tabtools.forms.words import segment_words, short_words

    words = list(form_words(document.score, short_words if document.located is None else segment_words))
    data = _with_words(document, words)
    again = read(document.source.name, data).score
    lost = _lost(document.score, again, words)
    if lost:
        words = [word for word in words if word not in lost]
        data = _with_words(document, words)
        again = read(document.source.name, data).score
    if _notes(again) != _notes(document.score) or _lost(document.score, again, words):
        raise ValueError("the names can't be put over these notes without changing how the page reads")
    return data, len(lost)


def _with_words(document: Document, words: list[_Word]) -> bytes:
    if document.located is not None:
        from tabtools.musicxml.words import insert_words

        return document.source.encode(insert_words(document.located, tuple(words)))
    from tabtools.text.writing.form_rows import with_rows_of_words

    return document.source.encode(with_rows_of_words(document, words))


def _lost(before: Score, after: Score, words: list[_Word]) -> list[_Word]:
    """The words that are not read again in the bar of their event."""
    bar_of = {
        id(event): (number, bar.number)
        for number, part in enumerate(before.parts)
        for bar in part.bars
        for event in bar.events
    }
    found = Counter(
        (number, bar.number, words.text)
        for number, part in enumerate(after.parts)
        for bar in part.bars
        for words in bar.words
    )
    return [(event, text) for event, text in words if not found[(*bar_of[id(event)], text)]]


def _notes(score: Score) -> list[Hashable]:
    """What must stay: metre, section and chords of every bar, place, length and techniques of every note."""
    rows: list[Hashable] = []
    for part in score.parts:
        for bar in part.bars:
            rows.append((bar.number, bar.time, bar.section, tuple(h.symbol for h in bar.harmonies)))
            for event in bar.events:
                notes = tuple((note.string, note.fret, note.techniques) for note in event.notes)
                rows.append((event.onset, event.duration, notes))
    return rows
