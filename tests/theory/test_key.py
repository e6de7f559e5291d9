from __future__ import annotations

import pytest

from tabtools.score import Key
from tabtools.theory.key import MODES, fifths, has_minor_third, key_from_fifths, parse_key, pitch_classes
from tabtools.theory.line_of_fifths import letter, place


@pytest.mark.parametrize("mode", MODES)
def test_signatures_and_notes_as_music21_has_them(mode: str) -> None:
    # Outside check: music21's circle of fifths and its scales, every signature from 7 flats to 7 sharps.
    from music21 import key, pitch

    for number in range(-7, 8):
        ours = key_from_fifths(number, mode)
        tonic = letter(place(ours.step, ours.alter)).replace("b", "-")
        assert key.pitchToSharps(pitch.Pitch(tonic), mode) == number
        assert fifths(ours) == number
        theirs = key.Key(tonic, mode)
        assert pitch_classes(ours) == {p.pitchClass for p in theirs.getPitches()}


def test_unknown_mode_is_an_error() -> None:
    with pytest.raises(ValueError, match="unknown mode: 'hyper'"):
        fifths(Key("C", 0, "hyper"))
    with pytest.raises(ValueError, match="unknown mode"):
        key_from_fifths(0, "hyper")


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("A", "A major"),
        ("Am", "A minor"),
        ("A minor", "A minor"),
        ("a minor", "A minor"),
        ("F# minor", "F# minor"),
        ("F♯m", "F# minor"),
        ("F-sharp minor", "F# minor"),
        ("Bb major", "Bb major"),
        ("B flat", "Bb major"),
        ("Bbm", "Bb minor"),
        ("Cmaj", "C major"),
        ("E dorian", "E dorian"),
        ("G Mixolydian", "G mixolydian"),
        ("La menor", "A minor"),
        ("LA menor", "A minor"),
        ("Lam", "A minor"),
        ("Sol mayor", "G major"),
        ("Sol", "G major"),
        ("Si bemol mayor", "Bb major"),
        ("Sib mayor", "Bb major"),
        ("fa sostenido menor", "F# minor"),
        ("Dó maior", "C major"),
        ("Fá sustenido menor", "F# minor"),
        ("Ré mineur", "D minor"),
        ("Ré bémol majeur", "Db major"),
        ("do diesis minore", "C# minor"),
        ("Mi frigio", "E phrygian"),
        ("a-Moll", "A minor"),
        ("H-Dur", "B major"),
        ("B-Dur", "Bb major"),
        ("b-Moll", "Bb minor"),
        ("fis-Moll", "F# minor"),
        ("Es-Dur", "Eb major"),
        ("Hm", "B minor"),
    ],
)
def test_texts_that_are_keys(text: str, name: str) -> None:
    key = parse_key(text)
    assert key is not None
    assert key.name == name


@pytest.mark.parametrize(
    "text",
    [
        "",
        " ",
        "-",
        "a",
        "am",
        "do",
        "Am I",
        "As",
        "Es",
        "es menor",
        "His minor",
        "a minor tune",
        "Key of G",
        "Bb flat",
        "Am minor",
        "A minor minor",
        "A7",
        "G/B",
        "minor",
        "Dorian",
        "standard",
    ],
)
def test_texts_that_are_not(text: str) -> None:
    assert parse_key(text) is None


def test_modes_with_a_minor_third() -> None:
    # Outside check: music21's scales.
    from music21 import key

    for mode in MODES:
        third = key.Key("C", mode).getPitches("C4", "C5")[2]
        assert has_minor_third(Key("C", 0, mode)) == (third.midi % 12 == 3)
