"""What a teacher says about short licks, statement by statement; the intervals also checked by music21."""

from __future__ import annotations

import random
import re
from fractions import Fraction
from typing import Any

import pytest

from tabtools.forms.labels import fits
from tabtools.forms.naming import name_forms
from tabtools.forms.neck import neck
from tabtools.forms.plain import plainly_fits
from tabtools.forms.segments import NamedNote, Segment
from tabtools.forms.words import told_words
from tabtools.forms.written import parse_label
from tabtools.instrument import GUITAR
from tabtools.score import Bar, Event, Harmony, Note, Part
from tabtools.theory.chord import parse_chord
from tabtools.theory.key import parse_key
from tabtools.theory.spelling import spell
from tests.forms.statements import Lick, Statement, licks

_LICKS = {lick.title: lick for lick in licks()}


def _notes(segments: tuple[Segment, ...]) -> list[tuple[Segment, NamedNote]]:
    return [(segment, named) for segment in segments for named in segment.notes]


def holds(lick: Lick, statement: Statement) -> tuple[bool, str]:
    """Whether a statement holds, and what is said instead."""
    segments = name_forms(lick.part)
    if statement.kind in ("right", "wrong"):
        label = parse_label(statement.words)
        assert label, statement.words
        places = [(n.note.string or 0, n.note.fret or 0) for _, n in _notes(segments)]
        plain = plainly_fits(label, places, neck(GUITAR))
        fit = plain or fits(label, segments[0], neck(GUITAR))
        return fit == (statement.kind == "right"), told_words(segments[0])
    segment, named = _notes(segments)[statement.note - 1]
    if statement.kind == "position":
        return segment.position == int(statement.words), str(segment.hand)
    if statement.kind == "group":
        told = told_words(segment)
        return statement.words in told, told
    told = f"{named.role.letter}: {named.role.words}, {named.role.degree}"
    return named.role.letter == statement.letter and all(
        re.search(rf"(?<!\w){re.escape(words)}(?!\w)", told) for words in statement.words.split(", ")
    ), told


@pytest.mark.parametrize("title", _LICKS)
def test_every_statement_holds(title: str) -> None:
    lick = _LICKS[title]
    for statement in lick.statements:
        right, told = holds(lick, statement)
        assert right, f"{statement.kind} {statement.note} {statement.letter}: {statement.words}\n  {told}"


def test_there_are_enough_of_each_kind() -> None:
    statements = [statement for lick in _LICKS.values() for statement in lick.statements]
    kinds = [statement.kind for statement in statements]
    assert len(statements) >= 250
    assert {kind: kinds.count(kind) for kind in set(kinds)}.keys() >= {"note", "position", "group", "right"}


def test_the_intervals_that_are_stated_are_those_of_music21() -> None:
    music21 = pytest.importorskip("music21")
    said = re.compile(r"(root|\w+ \w+) (?:of|over) ([A-G][#b]?)(?=\S* ?|,|$)")
    checked = 0
    for lick in _LICKS.values():
        for statement in lick.statements:
            match = said.match(statement.words)
            if statement.kind != "note" or match is None:
                continue
            low = music21.pitch.Pitch(match[2].replace("b", "-") + "3")
            high = music21.pitch.Pitch(statement.letter.replace("b", "-") + "4")
            interval = music21.interval.Interval(low, high)
            wider = music21.interval.Interval(low, high.transpose("P8"))
            names = {each.niceName for each in (interval, wider)} | {interval.semiSimpleNiceName}
            said_name = "Perfect Octave" if match[1] == "root" else match[1].title()
            assert said_name in names, statement
            checked += 1
    assert checked >= 100


_SUFFIXES = (
    "",
    "m",
    "7",
    "m7",
    "maj7",
    "dim",
    "m7b5",
    "dim7",
    "aug",
    "6",
    "9",
    "sus4",
    "m6",
    "add9",
    "7b9",
    "7#9",
)
_ROOTS = ("C", "C#", "Db", "D", "Eb", "E", "F", "F#", "Gb", "G", "Ab", "A", "Bb", "B")
_KEYS = ("C major", "G major", "Eb major", "A minor", "F# minor", "D dorian", "E major", "C minor")


def _chance_part(rng: random.Random) -> Part:
    """Eight single notes on the neck over one chord in one key, all by chance."""
    events = []
    for i in range(8):
        string, fret = rng.randint(1, 6), rng.randint(0, 14)
        note = Note(string, fret, spell(GUITAR.midi(string, fret), None))
        events.append(Event(Fraction(i, 2), Fraction(1, 2), (note,)))
    symbol = Harmony(Fraction(0), rng.choice(_ROOTS) + rng.choice(_SUFFIXES))
    key = parse_key(rng.choice(_KEYS))
    return Part("chance", GUITAR, (Bar(1, key=key, events=tuple(events), harmonies=(symbol,)),))


def test_four_hundred_statements_of_the_tool_recomputed_by_music21() -> None:
    """Name, interval and chord of notes by chance: the name sounds as the fret does, and music21 finds the
    same interval between the chord's root and it; what is called a chord tone is one of music21's chord."""
    music21 = pytest.importorskip("music21")
    rng = random.Random(400)
    stated = 0
    while stated < 400:
        for segment in name_forms(_chance_part(rng)):
            for named in segment.notes:
                _recompute(music21, named)
                stated += 1


def _recompute(music21: Any, named: NamedNote) -> None:
    role = named.role
    assert role.interval is not None
    assert role.chord is not None
    assert named.note.pitch is not None
    chord = parse_chord(role.chord)
    assert chord is not None
    root = music21.pitch.Pitch(chord.root.replace("b", "-") + "3")
    high = music21.pitch.Pitch(role.letter.replace("b", "-") + "4")
    assert high.pitchClass == named.note.pitch.midi % 12, role
    interval = music21.interval.Interval(root, high)
    wider = music21.interval.Interval(root, high.transpose("P8"))
    unison = music21.interval.Interval(root, high.transpose("-P8"))
    names = {each.niceName for each in (interval, wider)} | {interval.semiSimpleNiceName}
    names |= {unison.niceName} if high.step == root.step else set()
    said = (
        "Perfect Octave" if role.interval == "root" else role.interval.title().replace("Doubly ", "Doubly-")
    )
    assert said in names, role
    symbol = chord.root.replace("b", "-") + _MUSIC21.get(
        role.chord.removeprefix(chord.root), role.chord.removeprefix(chord.root)
    )
    classes = {pitch.pitchClass for pitch in music21.harmony.ChordSymbol(symbol).pitches}
    assert (high.pitchClass in classes) == role.chord_tone, role


# What music21 calls a chord where its name differs; see tests/theory/test_qualities.py.
_MUSIC21 = {"dim7": "o7", "m7b5": "ø7", "aug": "+", "dim": "dim"}
