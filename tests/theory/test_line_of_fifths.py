from __future__ import annotations

import pytest

from tabtools.theory.line_of_fifths import (
    degree_at,
    degree_place,
    degree_semitones,
    letter,
    pitch_class,
    place_of_letter,
    step_alter,
)

NAMES = [step + sign for step in "CDEFGAB" for sign in ("bb", "b", "", "#", "##")]


@pytest.mark.parametrize("name", NAMES)
def test_place_and_back(name: str) -> None:
    assert letter(place_of_letter(name)) == name


@pytest.mark.parametrize("name", NAMES)
def test_pitch_class_as_music21_has_it(name: str) -> None:
    # Outside check: music21 pitches (flats are written "-" there).
    from music21 import pitch

    assert pitch_class(place_of_letter(name)) == pitch.Pitch(name.replace("b", "-")).pitchClass


@pytest.mark.parametrize("bad", ["", "H", "c", "F#b", "Cx", "C4"])
def test_other_text_is_refused(bad: str) -> None:
    with pytest.raises(ValueError, match="not a note name"):
        place_of_letter(bad)


def test_step_alter_of_far_places() -> None:
    assert step_alter(-8) == ("F", -1)
    assert step_alter(13) == ("F", 2)


@pytest.mark.parametrize(
    ("degree", "interval"),
    [
        ("1", "P1"),
        ("b2", "m2"),
        ("2", "M2"),
        ("b3", "m3"),
        ("3", "M3"),
        ("4", "P4"),
        ("#4", "A4"),
        ("b5", "d5"),
        ("5", "P5"),
        ("#5", "A5"),
        ("b6", "m6"),
        ("6", "M6"),
        ("bb7", "d7"),
        ("b7", "m7"),
        ("7", "M7"),
        ("b9", "m9"),
        ("9", "M9"),
        ("#9", "A9"),
        ("11", "P11"),
        ("#11", "A11"),
        ("b13", "m13"),
        ("13", "M13"),
    ],
)
def test_degrees_are_music21_intervals(degree: str, interval: str) -> None:
    # Outside check: music21 transposes by the interval of that name.
    from music21 import pitch

    for root in ("C", "F#", "Bb", "E", "Ab"):
        goal = pitch.Pitch(root.replace("b", "-") + "3").transpose(interval)
        at = place_of_letter(root) + degree_place(degree)
        assert letter(at) == goal.name.replace("-", "b")
        assert degree_semitones(degree) == goal.midi - pitch.Pitch(root.replace("b", "-") + "3").midi


def test_degree_at_is_the_way_back() -> None:
    tonic = place_of_letter("Eb")
    for degree in ("1", "b2", "2", "b3", "3", "4", "#4", "b5", "5", "#5", "b6", "6", "b7", "7"):
        assert degree_at(tonic, tonic + degree_place(degree)) == degree
