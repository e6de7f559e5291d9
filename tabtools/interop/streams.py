"""A music21 stream from a score, and a score from a stream, through MusicXML; strings and frets go beside it.

music21 cannot write the strings of a chord's notes to MusicXML, so they are matched note by note.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from fractions import Fraction
from typing import Any

import music21
from music21 import articulations
from music21.musicxml.m21ToXml import GeneralObjectExporter

from tabtools.interop.spans import without_spans
from tabtools.musicxml.reader import read_musicxml
from tabtools.musicxml.writer import write_musicxml
from tabtools.score import Bar, Event, Note, Score
from tabtools.source import UnreadableError

# Part, bar and onset, and the sounding pitch.
_Place = tuple[int, int, Fraction, int]


def to_stream(score: Score) -> Any:
    """The score as a music21 score."""
    places: defaultdict[_Place, list[Note]] = defaultdict(list)

    def noted(place: _Place, note: Note) -> Note:
        places[place].append(note)
        return note._replace(string=None, fret=None)

    data = write_musicxml(_each_note(score, noted))
    stream = music21.converter.parseData(data.decode(), format="musicxml")
    for place, stream_note in _stream_notes(stream):
        waiting = places.get(place)
        note = waiting.pop(0) if waiting else None
        if note is not None and note.string is not None and note.fret is not None:
            stream_note.articulations.append(articulations.StringIndication(note.string))
            stream_note.articulations.append(articulations.FretIndication(note.fret))
    return stream


def from_stream(stream: Any) -> Score:
    """The score of a music21 stream."""
    if isinstance(stream, music21.stream.Opus):
        scores = [from_stream(inner) for inner in stream.scores]
        named = (part._replace(name=score.title or part.name) for score in scores for part in score.parts)
        return Score(tuple(named), stream.metadata.title if stream.metadata else None)
    exporter = GeneralObjectExporter(stream)
    try:
        data = exporter.parse()
    except Exception as error:
        raise UnreadableError(f"music21 cannot write this music as MusicXML: {error}") from error
    score = without_spans(read_musicxml("music21", data, len(data)).score)
    return _with_strings(_without_stopgaps(score), stream)


def _without_stopgaps(score: Score) -> Score:
    """Without the title and the composer that music21 writes where there are none."""
    return score._replace(
        title=None if score.title == music21.defaults.title else score.title,
        composer=None if score.composer == music21.defaults.author else score.composer,
    )


def _with_strings(score: Score, stream: Any) -> Score:
    """The score with the strings and frets that the stream's notes say, each on its own note."""
    places: defaultdict[_Place, list[tuple[int | None, int | None]]] = defaultdict(list)
    for place, stream_note in _stream_notes(stream):
        places[place].append(_string_and_fret(stream_note))
    if all(pair == (None, None) for pairs in places.values() for pair in pairs):
        return score

    def placed(place: _Place, note: Note) -> Note:
        waiting = places.get(place)
        string, fret = waiting.pop(0) if waiting else (None, None)
        return note._replace(string=string, fret=fret)

    return _each_note(score, placed)


def _string_and_fret(note: Any) -> tuple[int | None, int | None]:
    def number(kind: Any) -> int | None:
        # Not the kinds made from it: a bend counts as a fret there.
        return next((mark.number for mark in note.articulations if type(mark) is kind), None)

    return number(articulations.StringIndication), number(articulations.FretIndication)


def _stream_notes(stream: Any) -> Iterator[tuple[_Place, Any]]:
    """Every pitched note of a stream, those of chords one by one."""
    parts = list(stream.parts) if isinstance(stream, music21.stream.Score) else [stream]
    for number, part in enumerate(parts):
        for bar, measure in enumerate(part.getElementsByClass(music21.stream.Measure), 1):
            for element in measure.recurse().notes:
                if isinstance(element, music21.harmony.Harmony):
                    continue
                onset = Fraction(element.getOffsetInHierarchy(measure)).limit_denominator(10_080)
                for note in getattr(element, "notes", (element,)):
                    if isinstance(note, music21.note.Note):
                        yield (number, bar, onset, round(note.pitch.ps)), note


def _each_note(score: Score, change: Callable[[_Place, Note], Note]) -> Score:
    """The score with other notes; the place of one without a pitch has -1 for it."""

    def changed(number: int, bar: Bar, event: Event) -> Event:
        notes = (
            change((number, bar.number, event.onset, note.pitch.midi if note.pitch else -1), note)
            for note in event.notes
        )
        return event._replace(notes=tuple(notes))

    parts = []
    for number, part in enumerate(score.parts):
        bars = (
            bar._replace(events=tuple(changed(number, bar, event) for event in bar.events))
            for bar in part.bars
        )
        parts.append(part._replace(bars=tuple(bars)))
    return score._replace(parts=tuple(parts))
