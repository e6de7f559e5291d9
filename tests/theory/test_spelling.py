from __future__ import annotations

import pytest

from tabtools.score import Key
from tabtools.theory.key import MODES, key_from_fifths
from tabtools.theory.spelling import spell


@pytest.mark.parametrize("number", range(-7, 8))
def test_notes_of_the_key_as_music21_spells_them(number: int) -> None:
    # Outside check: music21's scales.
    from music21 import key

    for mode in MODES:
        ours = key_from_fifths(number, mode)
        tonic = ours.name.split()[0].replace("b", "-")
        for theirs in key.Key(tonic, mode).getPitches("C2", "C6"):
            assert spell(theirs.midi, ours).name == theirs.nameWithOctave.replace("-", "b")


@pytest.mark.parametrize("number", range(-7, 8))
def test_every_midi_number_keeps_its_pitch(number: int) -> None:
    key = key_from_fifths(number, "major")
    assert [spell(midi, key).midi for midi in range(128)] == list(range(128))
    assert len({spell(midi, key).letter for midi in range(60, 72)}) == 12


def test_chromatic_notes_of_common_keys() -> None:
    # The window of twelve names from two fifths below the tonic to nine above it.
    names = {
        None: "C C# D D# E F F# G G# A Bb B",
        Key("G", 0, "major"): "C C# D D# E F F# G G# A A# B",
        Key("D", 0, "minor"): "C C# D Eb E F F# G G# A Bb B",
        Key("E", -1, "major"): "C Db D Eb E F F# G Ab A Bb B",
        Key("C", 1, "minor"): "B# C# D D# E E# F# F## G# A A# B",
    }
    for key, expected in names.items():
        assert [spell(midi, key).letter for midi in range(60, 72)] == expected.split()


def test_raised_seventh_of_minor_keys() -> None:
    # Outside check: music21's harmonic minor scales.
    from music21 import scale

    for number in range(-7, 8):
        key = key_from_fifths(number, "minor")
        tonic = key.name.split()[0].replace("b", "-")
        seventh = scale.HarmonicMinorScale(tonic + "4").pitchFromDegree(7)
        assert spell(seventh.midi, key).name == seventh.nameWithOctave.replace("-", "b")


def test_names_across_the_octave() -> None:
    assert spell(72, Key("C", 1, "major")).name == "B#4"
    assert spell(71, Key("C", -1, "major")).name == "Cb5"
    assert spell(60, None).name == "C4"
