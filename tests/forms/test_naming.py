"""Short lines and what a teacher calls them, from files, and what must hold for any music."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tabtools.forms.naming import name_forms
from tabtools.forms.segments import Segment
from tabtools.forms.words import reading_words
from tabtools.instrument import GUITAR, TUNINGS, instrument_from
from tabtools.score import Bar, Event, Harmony, Note, Part, Score
from tabtools.theory.key import parse_key
from tabtools.theory.spelling import spell
from tests.forms.cases import DIRECTORY, load, part_of, places, same

_CASES = {case["id"]: case for name in ("shape-cases.json", "further-cases.json") for case in load(name)}


@pytest.mark.parametrize("name", _CASES)
def test_case(name: str) -> None:
    case = _CASES[name]
    segments = name_forms(part_of(case))
    assert places(segments) == [tuple(expected["notes"]) for expected in case["expect"]]
    for segment, expected in zip(segments, case["expect"], strict=True):
        assert segment.kind == expected["kind"]
        if segment.kind == "form":
            _check_form(case, segment, expected)
        elif segment.kind == "pentatonic":
            _check_box(segment, expected)
        else:
            assert segment.reading is None


def _check_form(case: dict[str, Any], segment: Segment, expected: dict[str, Any]) -> None:
    assert segment.reading is not None
    first = expected["notes"][0]
    outside = [first + i for i, note in enumerate(segment.notes) if not note.member]
    assert outside == expected.get("non_members", [])
    assert same(segment.reading, expected), segment.reading
    equal = expected.get("equal_readings", [])
    assert len(segment.equal_readings) == len(equal)
    for reading, other in zip(segment.equal_readings, equal, strict=True):
        assert same(reading, other)
    others = expected.get("same_notes_other_name", []) + expected.get("other_readings_if_no_chord", [])
    for other in others:
        assert any(same(reading, other) for reading in segment.readings), other
    chord = any(note.get("chord") for note in case["notes"])
    if expected.get("other_readings_if_no_chord") and not chord:
        assert not segment.sure


def _check_box(segment: Segment, expected: dict[str, Any]) -> None:
    assert segment.box is not None
    box = segment.box
    assert (box.number, list(segment.frets)) == (expected["box"], expected["position"])
    assert (box.minor_root, box.major_root) == (expected["minor_root"], expected["major_root"])
    assert (box.minor.form, box.major.form) == (expected["minor_form"], expected["major_form"])
    first = expected["notes"][0]
    blue = [first + i for i, note in enumerate(segment.notes) if "blue note" in note.role.line]
    assert blue == expected["blue_notes"]


@st.composite
def _parts(draw: st.DrawFn) -> Part:
    instrument = instrument_from(draw(st.sampled_from(TUNINGS)), draw(st.integers(0, 3)))
    bars = []
    for number in range(draw(st.integers(1, 3))):
        events = []
        for onset in range(draw(st.integers(0, 6))):
            strings = draw(st.sets(st.integers(1, len(instrument.tuning)), min_size=1, max_size=3))
            notes = []
            for string in sorted(strings):
                fret = draw(st.integers(0, 15))
                notes.append(Note(string, fret, spell(instrument.midi(string, fret), None)))
            events.append(Event(Fraction(onset, 2), Fraction(1, 2), tuple(notes)))
        bars.append(Bar(number + 1, events=tuple(events)))
    return Part("any", instrument, tuple(bars))


@settings(max_examples=60)
@given(_parts())
def test_every_note_has_its_place_and_a_role(part: Part) -> None:
    segments = name_forms(part)
    named = [(n.bar.number, n.event.onset, n.note.string) for s in segments for n in s.notes]
    played = [(b.number, e.onset, n.string) for b in part.bars for e in b.events for n in e.notes]
    assert sorted(named) == sorted(played)
    for segment in segments:
        assert 0 <= segment.confidence <= 1
        assert all(note.role.line for note in segment.notes)
        if segment.kind == "form":
            assert len({note.note.string for note in segment.notes}) > 1
            assert any(note.member for note in segment.notes)


@given(_parts())
@settings(max_examples=30)
def test_moved_up_the_neck_the_forms_are_the_same(part: Part) -> None:
    """The same music five frets higher has the same forms five frets higher, where no open string sounds."""
    if any(note.fret == 0 for bar in part.bars for event in bar.events for note in event.notes):
        return
    plain, higher = name_forms(_moved(part, 6)), name_forms(_moved(part, 8))
    assert [(s.kind, s.reading and (s.reading.form, s.reading.quality)) for s in plain] == [
        (s.kind, s.reading and (s.reading.form, s.reading.quality)) for s in higher
    ]


def _moved(part: Part, by: int) -> Part:

    def note(old: Note) -> Note:
        assert old.string is not None
        assert old.fret is not None
        fret = old.fret + by
        return old._replace(fret=fret, pitch=spell(part.instrument.midi(old.string, fret), None))

    bars = tuple(
        bar._replace(events=tuple(e._replace(notes=tuple(map(note, e.notes))) for e in bar.events))
        for bar in part.bars
    )
    return part._replace(bars=bars)


def test_notes_without_a_place_are_left_out() -> None:
    no_string = Note(None, None, spell(60, None))
    dead = Note(2, 3, None)
    held = Note(3, 4, spell(59, None), tied=True)
    beyond = Note(1, 30, spell(94, None))
    event = Event(Fraction(0), Fraction(1), (no_string, dead, held, beyond))
    assert name_forms(Part("none", GUITAR, (Bar(1, events=(event,)),))) == ()
    assert name_forms(Score()) == ()


def test_the_package_offers_it() -> None:
    import tabtools

    assert tabtools.name_forms is name_forms


def _strums() -> list[list[str]]:
    """The rows of the table of strummed chords: frets, chord symbol, form."""
    lines = (DIRECTORY / "strums.txt").read_text("utf-8").splitlines()
    return [[cell.strip() for cell in line.split("|")] for line in lines if not line.startswith("#")]


@pytest.mark.parametrize(("frets", "symbol", "expected"), _strums())
def test_a_strummed_chord(frets: str, symbol: str, expected: str) -> None:
    places = enumerate(frets.split() if " " in frets else frets)
    held = [(6 - i, int(fret)) for i, fret in places if fret != "x"]
    notes = tuple(Note(s, f, spell(GUITAR.midi(s, f), None)) for s, f in held)
    harmonies = () if symbol == "-" else (Harmony(Fraction(0), symbol),)
    bar = Bar(1, events=(Event(Fraction(0), Fraction(4), notes),), harmonies=harmonies)
    (segment,) = name_forms(Part("Guitar", GUITAR, (bar,)))
    assert segment.reading is not None
    assert f"{reading_words(segment.reading, segment.position)} of {segment.reading.symbol}" == expected
    assert all(note.member for note in segment.notes)


def test_a_tone_of_the_chord_outside_its_form_has_its_degree() -> None:
    notes = tuple(Note(s, f, spell(GUITAR.midi(s, f), None)) for s, f in ((6, 3), (4, 3), (3, 4), (2, 5)))
    bar = Bar(
        1,
        events=(Event(Fraction(0), Fraction(4), notes),),
        harmonies=(Harmony(Fraction(0), "G13"),),
    )
    (segment,) = name_forms(Part("Guitar", GUITAR, (bar,)))
    intervals = [note.role.over for note in segment.notes]
    assert intervals == [
        "root of G13",
        "minor seventh of G13",
        "major third of G13",
        "major thirteenth of G13",
    ]
    assert [note.member for note in segment.notes] == [True, True, True, False]


_FIFTH_POSITION = {  # common practice, no source
    "A minor": "6:5 6:7 6:8 5:5 5:7 5:8 4:5 4:7 3:4 3:5 3:7 2:5 2:6 2:8 1:5",
    "A harmonic minor": "6:5 6:7 6:8 5:5 5:7 5:8 4:6 4:7 3:4 3:5 3:7 2:5 2:6 1:4 1:5",
    "A melodic minor": "6:5 6:7 6:8 5:5 5:7 4:4 4:6 4:7 3:4 3:5 3:7 2:5 2:7 1:4 1:5",
    "C major": "6:5 6:7 6:8 5:5 5:7 5:8 4:5 4:7 3:4 3:5 3:7 2:5 2:6 2:8 1:5",
    "A dorian": "6:5 6:7 6:8 5:5 5:7 4:4 4:5 4:7 3:4 3:5 3:7 2:5 2:7 2:8 1:5",
}


@pytest.mark.parametrize("name", _FIFTH_POSITION)
@pytest.mark.parametrize("capo", [0, 2])
def test_a_run_through_a_whole_scale_has_its_name(name: str, capo: int) -> None:
    """With a capo the key names the shapes here."""
    places = [place.split(":") for place in _FIFTH_POSITION[name].split()]
    instrument = instrument_from(TUNINGS[0], capo)
    events = tuple(
        Event(Fraction(i, 4), Fraction(1, 4), (Note(s, f, spell(instrument.midi(s, f), None)),))
        for i, (s, f) in enumerate((int(s), int(f)) for s, f in places)
    )
    key = parse_key(name.replace("harmonic ", "").replace("melodic ", ""))
    (segment,) = name_forms(Part("Guitar", instrument, (Bar(1, key=key, events=events),)))
    assert (segment.kind, segment.scale) == ("run", name)
    (unknown,) = name_forms(Part("Guitar", instrument, (Bar(1, events=events),)))
    assert unknown.scale is None


def _lines(places: str) -> list[tuple[str, ...]]:
    """What single eighth notes are to the line, given as string:fret, in G major."""
    found = [tuple(map(int, place.split(":"))) for place in places.split()]
    events = tuple(
        Event(Fraction(i, 2), Fraction(1, 2), (Note(s, f, spell(GUITAR.midi(s, f), None)),))
        for i, (s, f) in enumerate(found)
    )
    key = parse_key("G major")
    return [
        n.role.line
        for s in name_forms(Part("Guitar", GUITAR, (Bar(1, key=key, events=events),)))
        for n in s.notes
    ]


def test_a_foreign_note_that_steps_into_the_next_one_is_an_approach() -> None:
    """Common practice, no source: C sharp, reached by a leap, leads into D; left by a leap, nowhere."""
    assert _lines("6:3 4:5 3:4 5:4 5:5 4:5 3:4")[3] == ("approach",)
    assert _lines("6:3 4:5 5:5 5:4 3:4 4:5 3:4")[3] == ("outside",)
    assert _lines("6:3 5:5 4:5 3:4 2:3 5:5 5:4")[6] == ("outside",)
