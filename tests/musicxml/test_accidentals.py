"""Accidentals as standard notation wants them: once a bar and line, none for what the signature says."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest

from tabtools.musicxml.writer import write_musicxml
from tabtools.musicxml.writing.accidentals import accidentals, signature
from tabtools.reading import read
from tabtools.score import ZERO, Bar, Event, Key, Note, Pitch, Technique
from tabtools.theory.key import key_from_fifths


def shown(names: str, key: Key | None = None, tied: int | None = None) -> list[str]:
    """The accidental of each note of a bar of quarter notes, ``-`` for none."""
    events = tuple(
        Event(Fraction(at), Fraction(1), (Note(None, None, Pitch.from_name(name), tied=at == tied),))
        for at, name in enumerate(names.split())
    )
    found = accidentals(Bar(1, key=key, events=events))
    return [found.get((at, 0), "-") for at in range(len(events))]


@pytest.mark.parametrize(
    ("names", "key", "want"),
    [
        ("F4 F#4 F#4 F4", None, "- sharp - natural"),
        ("F#4 F4 F#4 F#5", Key("G", 0, "major"), "- natural sharp -"),
        ("F#4 F#5", None, "sharp sharp"),
        ("Bb4 B4 Bb4", Key("F", 0, "major"), "- natural flat"),
        ("E#4 F##4 Cbb5", Key("F", 1, "minor"), "sharp double-sharp flat-flat"),
    ],
)
def test_accidentals(names: str, key: Key | None, want: str) -> None:
    """Gould, "Behind Bars", from memory: a bar line cancels, each octave has its own."""
    assert shown(names, key) == want.split()


def test_a_note_tied_over_the_bar_line_needs_none_and_the_next_one_does() -> None:
    assert shown("F#4 F#4", tied=0) == ["-", "sharp"]


def test_dead_notes_have_none() -> None:
    dead = Note(3, None, Pitch.from_name("F#4"), (Technique("dead"),))
    assert accidentals(Bar(1, events=(Event(ZERO, Fraction(1), (dead,)),))) == {}


def test_signatures_are_those_of_music21() -> None:
    """Source: music21's KeySignature, an independent table of the circle of fifths."""
    from music21.key import KeySignature

    for count in range(-7, 8):
        altered = {pitch.step: int(pitch.alter) for pitch in KeySignature(count).alteredPitches}
        ours = signature(key_from_fifths(count, "major"))
        assert {step: alter for step, alter in ours.items() if alter} == altered


PAGE = b"""Key: D

   q  q  q  q   q  q  q  q
e|------------|-2--1--2--1-|
B|-2--1--2--3-|------------|
G|------------|------------|
"""


def test_music21_would_print_the_same_accidentals() -> None:
    """Source: music21's own makeAccidentals, run over what we write without our accidentals."""
    from music21 import converter, note

    xml = write_musicxml(read("lick", PAGE).score)
    bare = re.sub(rb"<accidental>.*?</accidental>", b"", xml)
    assert bare != xml
    part = converter.parse(bare, format="musicxml", forceSource=True).parts[0]
    part.makeAccidentals(inPlace=True, overrideStatus=True, cautionaryNotImmediateRepeat=False)
    theirs = [found.pitch.accidental for found in part.recurse().getElementsByClass(note.Note)]
    bars = read("lick", PAGE).score.parts[0].bars
    ours = [accidentals(bar).get((at, 0)) for bar in bars for at in range(len(bar.events))]
    assert [found.name if found and found.displayStatus else None for found in theirs] == ours
