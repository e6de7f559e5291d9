"""Cases for the naming of forms: short lines of string and fret with what a teacher calls them."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

from tabtools.forms.segments import Reading, Segment
from tabtools.score import Bar, Event, Harmony, Instrument, Note, Part, Pitch, Technique
from tabtools.theory.key import parse_key
from tabtools.theory.line_of_fifths import pitch_class, place_of_letter
from tabtools.theory.spelling import spell

DIRECTORY = Path(__file__).parents[1] / "cases" / "forms"
STANDARD = {"6": "E2", "5": "A2", "4": "D3", "3": "G3", "2": "B3", "1": "E4"}
_BARS = 4  # quarter notes


def load(name: str) -> list[dict[str, Any]]:
    """The cases of a file."""
    found: list[dict[str, Any]] = json.loads((DIRECTORY / name).read_text("utf-8"))["cases"]
    return found


def places(segments: tuple[Segment, ...]) -> list[tuple[int, int]]:
    """The first and last note of every segment, counted from 0."""
    found, at = [], 0
    for segment in segments:
        found.append((at, at + len(segment.notes) - 1))
        at += len(segment.notes)
    return found


def same(reading: Reading, expected: dict[str, Any]) -> bool:
    """Whether a reading is the expected one; sharps and flats of the root are not told apart. The cases have
    the barre that a form may have; whether fingers need one is another question."""
    found = reading.form, reading.quality, _class(reading.root), reading.anchor_fret
    form, quality, root, anchor = (expected[field] for field in ("form", "quality", "root", "anchor_fret"))
    return found == (form, quality, _class(root), anchor)


def _class(name: str) -> int:
    return pitch_class(place_of_letter(name))


def part_of(case: dict[str, Any]) -> Part:
    """The music of a case, in bars of 4/4."""
    strings = STANDARD if case["tuning"] == "standard" else case["tuning"]
    tuning = tuple(Pitch.from_name(strings[str(i + 1)]) for i in range(len(strings)))
    instrument = Instrument(case.get("instrument", "Guitar"), tuning, case["capo"])
    key = parse_key(case["key"]) if case["key"] else None
    moments: dict[Fraction, list[dict[str, Any]]] = {}
    for note in case["notes"]:
        moments.setdefault(Fraction(note["onset"]), []).append(note)
    last = int(max(moments)) // _BARS
    bars = []
    chord = None
    for number in range(last + 1):
        events, harmonies = [], []
        for onset in sorted(at for at in moments if at // _BARS == number):
            notes = moments[onset]
            here = onset - number * _BARS
            if notes[0].get("chord") != chord:
                chord = notes[0].get("chord")
                harmonies.append(Harmony(here, chord or "N.C."))
            events.append(Event(here, Fraction(1, 2), tuple(_note(instrument, note) for note in notes)))
        bars.append(Bar(number + 1, key=key, events=tuple(events), harmonies=tuple(harmonies)))
    return Part("case", instrument, tuple(bars))


def _note(instrument: Instrument, note: dict[str, Any]) -> Note:
    techniques = [Technique(name) for name in ("hammer", "pull", "slide") if note.get(name)]
    if note.get("bend"):
        techniques.append(Technique("bend", Fraction(str(note["bend"]))))
    pitch = spell(instrument.midi(note["string"], note["fret"]), None)
    return Note(note["string"], note["fret"], pitch, tuple(techniques))
