from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from tabtools.score import Key, Pitch
from tabtools.theory.chord import parse_chord, pitch_classes
from tabtools.theory.harmony import LEVELS, MelodyNote, Verdict, judge
from tabtools.theory.key import parse_key
from tabtools.theory.line_of_fifths import pitch_class, place_of_letter
from tabtools.theory.scale import scale_notes

CASES = Path(__file__).parents[1] / "cases/harmony"
VERDICTS = json.loads((CASES / "verdicts.json").read_text(encoding="utf-8"))
TABLES = json.loads((CASES / "tables.json").read_text(encoding="utf-8"))
HALF = Fraction(1, 2)


def lick(pitches: str, chord: str | None, length: Fraction = HALF) -> list[MelodyNote]:
    """Notes of equal length from the start of the piece, on the beat where they fall on a quarter."""
    notes = []
    for index, name in enumerate(pitches.split()):
        onset = index * length
        notes.append(
            MelodyNote(
                onset=onset,
                duration=length,
                midi=Pitch.from_name(name).midi,
                on_beat=onset.denominator == 1,
                strong=onset % 2 == 0,
                chord=parse_chord(chord) if chord else None,
            )
        )
    return notes


def names(notes: list[MelodyNote], key: str | None, **options: bool) -> list[str | None]:
    known = parse_key(key) if key else None
    return [verdict.name if verdict else None for verdict in judge(notes, known, **options)]


def case_notes(case: dict[str, Any]) -> list[MelodyNote]:
    options = case["options"]
    notes = lick(" ".join(note["pitch"] for note in case["notes"]), case["chord"])
    onset = Fraction(0)
    for index, row in enumerate(case["notes"]):
        length = Fraction(row["beats"])
        strong = options.get("strong") == index
        on_beat = strong or onset.denominator == 1
        notes[index] = notes[index]._replace(
            onset=onset,
            duration=length,
            bend=Fraction(row["bend"]),
            on_beat=on_beat,
            strong=strong,
        )
        onset += length
    if "nextchord" in options:
        judged = notes[case["judge"]]
        notes[case["judge"]] = judged._replace(
            next_chord=parse_chord(options["nextchord"]),
            next_onset=judged.onset + Fraction(options["btc"]),
        )
    return notes


def test_the_cases_cover_every_verdict() -> None:
    assert len(VERDICTS) == 54
    assert {case["expect"] for case in VERDICTS} == set(LEVELS)


@pytest.mark.parametrize("case", VERDICTS, ids=lambda case: case["id"])
def test_verdicts(case: dict[str, Any]) -> None:
    verdicts = judge(case_notes(case), parse_key(case["key"]), blues=case["options"].get("blues", False))
    verdict = verdicts[case["judge"]]
    assert verdict is not None
    assert (verdict.name, verdict.level) == (case["expect"], case["level"])


@pytest.mark.parametrize("tonic", TABLES["colour_notes_major_keys"])
def test_colour_notes_of_every_chord_of_a_major_key(tonic: str) -> None:
    # Outside check: the table was spelled by music21, see its source note.
    suffixes = {"ii": "m", "iii": "m", "vi": "m", "viio": "dim", "Imaj7": "maj7", "IVmaj7": "maj7", "V7": "7"}
    suffixes |= {"ii7": "m7", "iii7": "m7", "vi7": "m7", "viiø7": "m7b5"}
    for numeral, row in TABLES["colour_notes_major_keys"][tonic].items():
        symbol = row["chord"][0] + suffixes.get(numeral, "")
        notes = lick(" ".join(note + "4" for note in row["chord"]), symbol)
        colour = [v for v in judge(notes, parse_key(tonic)) if v and v.name == "colour"]
        assert [(v.letter, v.degree) for v in colour] == [(c["note"], c["key_degree"]) for c in row["colour"]]
        others = {v.name for v in judge(notes, parse_key(tonic)) if v and v not in colour}
        assert others <= {"ok"}


@pytest.mark.parametrize("tonic", TABLES["relative_minor"])
def test_one_four_five_bring_the_fourth_and_the_seventh(tonic: str) -> None:
    scale = scale_notes(tonic, "major")
    chords = [parse_chord(scale[degree - 1]) for degree in (1, 4, 5)]
    union = frozenset().union(*(pitch_classes(chord) for chord in chords if chord))
    assert union == {pitch_class(place_of_letter(note)) for note in scale}
    pentatonic = {pitch_class(place_of_letter(note)) for note in scale_notes(tonic, "major pentatonic")}
    assert union - pentatonic == {pitch_class(place_of_letter(scale[degree - 1])) for degree in (4, 7)}


@pytest.mark.parametrize("tonic", TABLES["i_iv_v_vs_minor_pentatonic"])
def test_minor_one_four_five_bring_the_second_and_the_flat_sixth(tonic: str) -> None:
    # Outside check: the table was spelled by music21, see its source note.
    rows = TABLES["i_iv_v_vs_minor_pentatonic"][tonic]
    scale = scale_notes(tonic, "natural minor")
    for symbols, kind in (
        ((scale[0] + "m", scale[3] + "m", scale[4] + "m"), "i iv v"),
        ((scale[0] + "m", scale[3] + "m", scale[4]), "i iv V"),
    ):
        found = {}
        for symbol in symbols:
            chord = parse_chord(symbol)
            assert chord is not None
            notes = [MelodyNote(Fraction(i), HALF, 60 + i, chord=chord) for i in range(12)]
            for verdict in judge(notes, parse_key(tonic + "m")):
                if verdict and verdict.name.startswith("colour"):
                    found[verdict.letter] = verdict.degree
        assert found == {row["note"]: row["key_degree"] for row in rows[kind]}


def test_nothing_is_judged_without_key_and_chord() -> None:
    assert names(lick("C4 D4", None), None) == [None, None]
    assert names(lick("C4 D4", "N.C."), None) == [None, None]


def test_without_a_key_the_chord_decides() -> None:
    assert names(lick("C4 E4 Bb4 C4", "C"), None) == ["ok", "ok", "outside", "ok"]


def test_without_a_chord_the_key_decides_and_approaches_are_not_excused() -> None:
    assert names(lick("G4 A#4 B4", None), "G") == ["ok", "outside", "ok"]
    assert names(lick("G4 A#4 B4", "G"), "G") == ["ok", "approach", "ok"]


def test_on_the_beat_nothing_is_excused_unless_asked() -> None:
    notes = lick("B4 C5 C#5 D5", "G")
    assert names(notes, "G")[2] == "outside"
    assert names(notes, "G", excuse_on_beat=True)[2] == "passing"
    long = [note._replace(duration=Fraction(1)) for note in notes]
    assert names(long, "G", excuse_on_beat=True)[2] == "passing"
    assert names([note._replace(strong=True) for note in long], "G", excuse_on_beat=True)[2] == "outside"


def test_runs_of_up_to_three_outside_notes_pass() -> None:
    quick = Fraction(1, 8)
    chord = parse_chord("G")
    notes = [n._replace(chord=chord, on_beat=False) for n in lick("G4 G#4 A4 A#4 B4", None, quick)]
    assert names(notes, None)[1:4] == ["passing", "passing", "passing"]
    four = [n._replace(chord=chord, on_beat=False) for n in lick("D4 D#4 E4 F4 F#4 G4", None, quick)]
    assert names(four, None)[1:4] == ["outside", "outside", "outside"]


def test_a_leap_is_no_passing_note() -> None:
    assert names(lick("B4 C#5 D5", "N.C."), "G")[1] == "passing"
    assert names(lick("A4 C#5 D5", "N.C."), "G")[1] == "outside"


def test_double_stops_follow_the_nearest_pitch() -> None:
    low, high = lick("C4 C#4 D4", "N.C."), lick("G4 G4 G4", "N.C.")
    assert names([*low, *high], "G") == ["ok-diatonic", "passing", "ok", "ok", "ok", "ok"]


def test_minor_raised_degrees_only_in_minor() -> None:
    assert names(lick("E4 F#4 G#4 A4", "Am"), "Am") == ["ok", "minor-variable", "minor-variable", "ok"]
    assert names(lick("E4 G#4 C4", "Am"), "A aeolian")[1] == "outside"


@pytest.mark.parametrize(
    ("key", "note", "name"),
    [
        ("D dorian", "B4", "ok-diatonic"),
        ("G mixolydian", "F4", "ok-diatonic"),
        ("F lydian", "B4", "ok-diatonic"),
        ("E phrygian", "F4", "ok-diatonic"),
        ("B locrian", "F4", "ok"),
        ("G", "F4", "outside"),
    ],
)
def test_modes_hold_their_own_notes(key: str, note: str, name: str) -> None:
    assert names(lick(f"D4 {note} D4", "N.C."), key)[1] == name


def test_bends_count_by_their_target() -> None:
    start = lick("D5 F5 D5", "G")
    whole = [start[0], start[1]._replace(bend=Fraction(2)), start[2]]
    assert names(whole, "G")[1] == "ok"
    quarter = [start[0], start[1]._replace(bend=HALF), start[2]]
    assert names(quarter, "G")[1] == "blue"
    elsewhere = lick("D5 C#5 A4", "G")
    assert names([elsewhere[0], elsewhere[1]._replace(bend=HALF), elsewhere[2]], "G")[1] == "blue"
    minor_second = lick("D5 G#4 D5", "G")
    assert names([minor_second[0], minor_second[1]._replace(bend=HALF), minor_second[2]], "G")[1] == "outside"


def test_anticipation_is_at_most_a_beat_early() -> None:
    coming = parse_chord("A7")
    notes = [n._replace(next_chord=coming, next_onset=Fraction(3, 2)) for n in lick("D5 C#5 A4", "G")]
    assert names(notes, "G")[1] == "anticipation"
    early = [n._replace(next_onset=Fraction(2)) for n in notes]
    assert names(early, "G")[1] == "outside"
    compound = [n._replace(beat=Fraction(3, 2)) for n in early]
    assert names(compound, "G")[1] == "anticipation"
    foreign = [n._replace(next_chord=parse_chord("C7")) for n in notes]
    assert names(foreign, "G")[1] == "outside"


def test_facts_of_a_verdict() -> None:
    (verdict,) = judge(lick("F#4", "D"), Key("G", 0, "major"))
    assert verdict == Verdict("colour", "F#", "major third", "7")
    (verdict,) = judge(lick("A#4", "C/Bb"), Key("G", 0, "major"))
    assert verdict == Verdict("colour-chromatic", "Bb", "bass", "b3")
    assert judge([], None) == []
