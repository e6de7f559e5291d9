from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import pytest

from tabtools.score import Pitch
from tabtools.theory.chord import parse_chord
from tabtools.theory.explain import explain, resolution
from tabtools.theory.harmony import MelodyNote, judge
from tabtools.theory.key import parse_key

TABLES = json.loads((Path(__file__).parents[1] / "cases/harmony/tables.json").read_text(encoding="utf-8"))
HALF = Fraction(1, 2)


def say(
    pitches: str, chord: str | None, key: str | None, blues: bool = False, after: str | None = None
) -> str:
    """The sentence for the second note of three, or for the only note."""
    notes = [
        MelodyNote(
            index * HALF,
            HALF,
            Pitch.from_name(name).midi,
            chord=parse_chord(chord) if chord else None,
            next_chord=parse_chord(after) if after else None,
            next_onset=Fraction(3, 2) if after else None,
        )
        for index, name in enumerate(pitches.split())
    ]
    index = min(1, len(notes) - 1)
    known = parse_key(key) if key else None
    verdict = judge(notes, known, blues=blues)[index]
    assert verdict is not None
    return explain(verdict, notes[index], known)


@pytest.mark.parametrize(
    ("said", "sentence"),
    [
        (
            say("F#4", "D", "G"),
            "F# is the major third of D and the seventh of G; G major pentatonic lacks it",
        ),
        (say("C4", "C", "G"), "C is the root of C and the fourth of G; G major pentatonic lacks it"),
        (
            say("F4", "Dm", "Am"),
            "F is the minor third of Dm and the flat sixth of A minor; A minor pentatonic lacks it",
        ),
        (
            say("G#4", "E", "Am"),
            "G# is the major third of E and the raised seventh of A minor; A minor pentatonic lacks it",
        ),
        (say("C#4", "A7", "G"), "C# is the major third of A7; it is outside G major, and A7 leads to D"),
        (say("Eb4", "Cm", "G"), "Eb is the minor third of Cm; it is outside G major"),
        (say("Bb4", "C/Bb", "G"), "Bb is the bass of C/Bb; it is outside G major"),
        (say("G#4", "Am", "Am"), "G# is the raised seventh of A minor"),
        (say("G#4", "Em", "Am"), "G# is the raised seventh of A minor, against the G of Em"),
        (say("Bb4", "G", "G", blues=True), "Bb is the flat third of G, a blue note"),
        (say("Eb4", "Am", "Am", blues=True), "Eb is the flat fifth of A minor, a blue note"),
        (say("Bb4", "G5", "G"), "Bb is the minor third of G5, which has no third of its own"),
        (
            say("D5 C#5 A4", "G", "G", after="A7"),
            "C# is the major third of A7, the next chord: it comes early",
        ),
        (say("C5 C#5 D5", "G", "G"), "C# is a chromatic passing note"),
        (say("D5 C#5 D5", "G", "G"), "C# is a chromatic neighbour note"),
        (say("G4 A#4 B4", "G", "G"), "A# is a chromatic approach to the next note"),
        (say("C#5", "G", "G"), "C# is neither in G major nor in the chord G"),
        (say("C#5", "N.C.", "G"), "C# is not in G major"),
        (say("C#5", None, "G"), "C# is not in G major"),
        (say("C#5", "G", None), "C# is not in the chord G"),
        (say("B4", "G", None), "B is the major third of G"),
        (say("B4", "G", "G"), "B is the major third of G"),
        (say("A4", "G", "G"), "A is the second of G"),
        (say("G4", "Em", "G"), "G is the minor third of Em and the tonic of G"),
    ],
)
def test_sentences(said: str, sentence: str) -> None:
    assert said == sentence


@pytest.mark.parametrize("tonic", TABLES["secondary_dominants_major"])
def test_secondary_dominants_lead_where_the_table_says(tonic: str) -> None:
    # Outside check: the table was spelled by music21, see its source note.
    key = parse_key(tonic)
    assert key is not None
    for row in TABLES["secondary_dominants_major"][tonic].values():
        chord = parse_chord(row["chord"][0] + "7")
        assert chord is not None
        goal = resolution(chord, key)
        assert goal is not None
        assert goal.removesuffix("m") == row["resolves_to"]


@pytest.mark.parametrize("symbol", ["G", "Gmaj7", "Gm", "D7", "F#7", "Bb", "Edim", "N.C."])
def test_chords_that_lead_nowhere_else(symbol: str) -> None:
    # In G: D7 leads home, the fifth below F# is B, whose chord is in the key; below Bb lies Eb, outside.
    key, chord = parse_key("G"), parse_chord(symbol)
    assert key is not None
    assert chord is not None
    expected = {"G": "C", "F#7": "Bm"}.get(symbol)
    assert resolution(chord, key) == expected


def test_a_longer_bend_is_named_by_its_target() -> None:
    note = MelodyNote(Fraction(0), HALF, 65, bend=Fraction(1), chord=parse_chord("D"))
    key = parse_key("G")
    (verdict,) = judge([note], key)
    assert verdict is not None
    assert explain(verdict, note, key).startswith("F# is the major third of D")
