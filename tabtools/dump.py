"""A document as JSON for scripts: the form that ``schemas/score.schema.json`` describes."""

from __future__ import annotations

import json
from collections.abc import Iterable
from typing import Any

from tabtools.document import Document
from tabtools.lint.finding import Finding
from tabtools.report.findings_json import finding_object
from tabtools.score import Bar, Event, Harmony, Note, Part
from tabtools.source import Source

FORMAT = "tabtools-score"
VERSION = 1


def dump_score(document: Document, findings: Iterable[Finding]) -> str:
    """The score and its findings as JSON.

    Times are quarter notes from the start of the bar, as text like ``3/2``; frets count from the capo;
    MIDI numbers of notes are those that sound, those of the tuning are without capo, last string first.
    """
    score, source = document.score, document.source
    dump = {
        "format": FORMAT,
        "version": VERSION,
        "title": score.title,
        "parts": [_part(source, part) for part in score.parts],
        "findings": [finding_object(source, finding) for finding in findings],
    }
    return json.dumps(dump, indent=2, ensure_ascii=False) + "\n"


def _part(source: Source, part: Part) -> dict[str, Any]:
    return {
        "name": part.name,
        "tuning": [pitch.midi for pitch in reversed(part.instrument.tuning)],
        "capo": part.instrument.capo,
        "bars": [_bar(source, bar) for bar in part.bars],
    }


def _bar(source: Source, bar: Bar) -> dict[str, Any]:
    return {
        "number": bar.number,
        "time": bar.time.name,
        "key": bar.key.name if bar.key else None,
        "section": bar.section,
        "pickup": bar.pickup,
        "repeat_start": bar.repeat_start,
        "repeat_times": bar.repeat_times,
        "endings": list(bar.endings),
        "events": [_event(source, event) for event in bar.events],
        "chords": [_chord(harmony) for harmony in bar.harmonies],
    }


def _event(source: Source, event: Event) -> dict[str, Any]:
    return {
        "onset": str(event.onset),
        "duration": str(event.duration),
        "grace": event.grace,
        "voice": event.voice,
        "inferred": [inferred.fact for inferred in event.inferred],
        "notes": [_note(source, event, note) for note in event.notes],
    }


def _note(source: Source, event: Event, note: Note) -> dict[str, Any]:
    span = note.span or event.span
    line, column = source.position(span.start) if span else (None, None)
    words = [technique.word for technique in note.techniques]
    if note.tied and "tie" not in words:
        words.append("tie")
    return {
        "string": note.string,
        "fret": note.fret,
        "midi": note.pitch.midi if note.pitch else None,
        "name": note.pitch.name if note.pitch else None,
        "finger": note.finger,
        "techniques": sorted(words),
        "falling": sorted(technique.name for technique in note.techniques if technique.falling),
        "line": line,
        "column": column,
    }


def _chord(harmony: Harmony) -> dict[str, Any]:
    return {"onset": str(harmony.onset), "symbol": harmony.symbol}
