from __future__ import annotations

import pytest

from tabtools.forms.neck import neck
from tabtools.forms.palette import palette, scale_name
from tabtools.instrument import GUITAR
from tabtools.score import Key
from tabtools.theory.chord import Chord, parse_chord, symbol
from tabtools.theory.key import parse_key
from tabtools.theory.line_of_fifths import letter, place, step_alter


def _key(name: str) -> Key:
    key = parse_key(name)
    assert key is not None
    return key


def _chords(*symbols: str) -> list[Chord]:
    found = [parse_chord(text) for text in symbols]
    return [chord for chord in found if chord is not None]


def test_the_colours_of_g() -> None:
    found = palette(neck(GUITAR), _key("G"), "pentatonic", _chords("G", "C", "D"), 3)
    assert (found.scale, found.notes) == ("major pentatonic", ("G", "A", "B", "D", "E"))
    assert [(c.note, c.degree, c.homes) for c in found.colours] == [
        ("C", "4", (("C", "root"),)),
        ("F#", "7", (("D", "major third"),)),
    ]
    assert found.colours[0].places == ((5, 3), (3, 5))


@pytest.mark.parametrize("at", range(-5, 7))
def test_in_every_major_key_the_fourth_and_the_seventh(at: int) -> None:
    """What I, IV and V add to the major pentatonic: the root of IV and the third of V. Common practice, no
    source."""
    key = Key(*step_alter(at), "major")
    tonic = place(key.step, key.alter)
    chords = _chords(letter(tonic), letter(tonic - 1), letter(tonic + 1))
    found = palette(neck(GUITAR), key, "pentatonic", chords, 5)
    assert [(c.degree, c.homes) for c in found.colours] == [
        ("4", ((symbol(chords[1]), "root"),)),
        ("7", ((symbol(chords[2]), "major third"),)),
    ]


def test_a_minor_key_with_a_major_dominant() -> None:
    """Common practice, no source: the flat sixth in iv, the raised seventh and the second in V."""
    found = palette(neck(GUITAR), _key("Am"), "pentatonic", _chords("Am", "Dm", "E"), 5)
    assert [(c.note, c.degree) for c in found.colours] == [("F", "b6"), ("G#", "7"), ("B", "2")]


def test_a_note_that_several_chords_share() -> None:
    found = palette(neck(GUITAR), _key("G"), "pentatonic", _chords("D", "Bm"), 0)
    assert found.colours[0].homes == (("D", "major third"), ("Bm", "perfect fifth"))


@pytest.mark.parametrize("fret", [0, 3, 9, 24])
def test_places_sound_the_note(fret: int) -> None:
    for colour in palette(neck(GUITAR), _key("Bb"), "pentatonic", _chords("Eb", "F7"), fret).colours:
        classes = {GUITAR.midi(string, at) % 12 for string, at in colour.places}
        assert len(classes) == 1
        assert all(max(fret - 1, 0) <= at <= fret + 4 for _, at in colour.places)


def test_names_of_scales() -> None:
    assert scale_name(_key("Em"), "pentatonic") == "minor pentatonic"
    assert scale_name(_key("E dorian"), "pentatonic") == "minor pentatonic"
    assert scale_name(_key("E"), "blues") == "major blues"
    assert scale_name(_key("E"), "minor blues") == "blues"
    assert scale_name(_key("E"), "harmonic minor") == "harmonic minor"
    with pytest.raises(ValueError, match="unknown scale 'bebop': use pentatonic"):
        scale_name(_key("E"), "bebop")
