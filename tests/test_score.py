"""The values that all parts share."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tabtools.instrument import GUITAR
from tabtools.score import Bar, Event, Key, Note, Part, Pitch, Technique, TimeSignature


@pytest.mark.parametrize(
    ("name", "midi"), [("C4", 60), ("A4", 69), ("E2", 40), ("F#4", 66), ("Gb4", 66), ("Cb4", 59), ("B#3", 60)]
)
def test_midi_numbers_of_names(name: str, midi: int) -> None:
    """Scientific pitch notation with C4 = 60 and A4 = 69 (MIDI 1.0; ISO 16 for A4 = 440 Hz)."""
    pitch = Pitch.from_name(name)
    assert pitch.midi == midi
    assert pitch.name == name


@given(st.sampled_from("CDEFGAB"), st.integers(-3, 3), st.integers(-1, 9))
def test_every_name_reads_back(step: str, alter: int, octave: int) -> None:
    pitch = Pitch(step, alter, octave)
    assert Pitch.from_name(pitch.name) == pitch


@pytest.mark.parametrize("name", ["", "H4", "c4", "F#", "F#b4", "4", "E####4"])
def test_other_texts_are_no_pitches(name: str) -> None:
    with pytest.raises(ValueError, match="not a note name"):
        Pitch.from_name(name)


def test_names() -> None:
    assert Key("F", 1, "minor").name == "F# minor"
    assert TimeSignature(6, 8).name == "6/8"


@pytest.mark.parametrize(
    ("beats", "unit", "length"), [(4, 4, 4), (3, 4, 3), (6, 8, 3), (2, 2, 4), (7, 8, Fraction(7, 2))]
)
def test_the_length_of_a_bar_in_quarter_notes(beats: int, unit: int, length: Fraction) -> None:
    assert TimeSignature(beats, unit).length == length


@pytest.mark.parametrize(
    ("technique", "word"),
    [
        (Technique("hammer"), "hammer"),
        (Technique("bend", Fraction(2)), "bend:2"),
        (Technique("bend-release", Fraction(1, 2)), "bend-release:0.5"),
        (Technique("trill", Fraction(8)), "trill:8"),
    ],
)
def test_technique_words(technique: Technique, word: str) -> None:
    assert technique.word == word


def test_a_bar_is_as_long_as_its_last_event() -> None:
    assert Bar(1).length == 0
    assert Bar(
        1, events=(Event(Fraction(3), Fraction(3, 2)), Event(Fraction(0), Fraction(3)))
    ).length == Fraction(9, 2)


def test_nothing_can_be_changed() -> None:
    note = Note(1, 5, None)
    with pytest.raises(AttributeError):
        note.fret = 7  # type: ignore[misc]


def test_bars_begin_where_the_ones_before_end() -> None:
    def bar(number: int, beats: int, *, pickup: bool = False) -> Bar:
        return Bar(number, events=tuple(Event(Fraction(n), Fraction(1)) for n in range(beats)), pickup=pickup)

    # A pick-up of one beat, a short bar of 4/4 that lasts its four beats, an overfull one that lasts five.
    bars = (bar(1, 1, pickup=True), bar(2, 3), bar(3, 5), bar(4, 4))
    assert [one.lasts for one in bars] == [1, 4, 5, 4]
    assert list(Part("Guitar", GUITAR, bars).starts) == [0, 1, 5, 10]
    assert Part("Guitar", GUITAR).starts == ()
