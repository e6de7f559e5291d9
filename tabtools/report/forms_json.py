"""Named forms for programs: the JSON that ``schemas/forms.schema.json`` describes."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any

from tabtools.forms.segments import NamedNote, Reading, Segment

FORMAT = "tabtools-forms"
VERSION = 2


def render(segments: Sequence[Segment]) -> str:
    """All segments as one JSON object; onsets are quarter notes from the bar's start, as text like 3/2."""
    report = {"format": FORMAT, "version": VERSION, "segments": [_segment(segment) for segment in segments]}
    return json.dumps(report, indent=2, ensure_ascii=False) + "\n"


def _segment(segment: Segment) -> dict[str, Any]:
    reading, box = segment.reading, segment.box
    return {
        "kind": segment.kind,
        **(_reading(reading) if reading else dict.fromkeys(_READING)),
        "box": box.number if box else None,
        "minor_root": box.minor_root if box else None,
        "major_root": box.major_root if box else None,
        "scale": segment.scale,
        "position": segment.position,
        "stretch_back": segment.hand.back,
        "stretch_up": segment.hand.up,
        "frets": list(segment.frets),
        "figure": segment.figure,
        "confidence": segment.confidence,
        "notes": [_note(note) for note in segment.notes],
        "equal_readings": [_reading(alternative) for alternative in segment.equal_readings],
        "readings": [_reading(alternative) for alternative in segment.readings],
    }


_READING = ("form", "quality", "root", "anchor_fret", "barre_fret")


def _reading(reading: Reading) -> dict[str, Any]:
    return {field: getattr(reading, field) for field in _READING}


def _note(named: NamedNote) -> dict[str, Any]:
    note = named.note
    return {
        "bar": named.bar.number,
        "onset": str(named.event.onset),
        "string": note.string,
        "fret": note.fret,
        "name": note.pitch.name if note.pitch else None,
        "member": named.member,
        "role": named.role.words,
        "letter": named.role.letter,
        "interval": named.role.interval,
        "chord": named.role.chord,
        "chord_tone": named.role.chord_tone,
        "degree": named.role.degree,
        "line": list(named.role.line),
        "meant": named.role.meant,
    }
