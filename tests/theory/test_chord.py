from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from tabtools.theory.chord import (
    Chord,
    chord_from_musicxml,
    musicxml_kind,
    nearest_known,
    parse_chord,
    pitch_classes,
    role,
    symbol,
    tones,
)
from tabtools.theory.line_of_fifths import pitch_class, place_of_letter
from tabtools.theory.qualities import QUALITIES, DegreeChange, Quality

CASES = Path(__file__).parents[1] / "cases/harmony"
SPELLINGS = [
    line.split("\t")
    for line in (CASES / "spellings.tsv").read_text(encoding="utf-8").splitlines()
    if not line.startswith("#")
]


def chord(text: str) -> Chord:
    found = parse_chord(text)
    assert found is not None, text
    return found


def test_the_spellings_are_87() -> None:
    assert len(SPELLINGS) == 87


@pytest.mark.parametrize("row", SPELLINGS, ids=lambda row: row[0])
def test_spellings_that_players_write(row: list[str]) -> None:
    text, root, *rest = row
    found = chord(text)
    if root == "-":
        assert found.quality.kind == "none"
        assert pitch_classes(found) == frozenset()
        return
    bass, *readings = rest
    at, below = (pitch_class(place_of_letter(name)) for name in (root, bass))
    wanted = [frozenset((at + int(s)) % 12 for s in reading.split()) | {below} for reading in readings]
    assert found.root == root
    assert pitch_classes(found) in wanted
    assert (found.bass is not None) == (bass != root)


@pytest.mark.parametrize(
    ("text", "canonical"),
    [
        ("C△7", "Cmaj7"),
        ("CΔ", "Cmaj7"),
        ("C∆7", "Cmaj7"),
        ("C7M", "Cmaj7"),
        ("Cø", "Cm7b5"),
        ("Cm7-5", "Cm7b5"),
        ("C7(b9,#11)", "C7b9#11"),
        ("C7(b9, #11)", "C7b9#11"),
        ("C7(b9/#11)", "C7b9#11"),
        ("C7(♭9)", "C7b9"),
        ("C7-9", "C7b9"),
        ("C7+5", "Caug7"),
        ("C7b9sus4", "C7sus4b9"),
        ("C13b9", "C13b9"),
        ("C7(9)", "C9"),
        ("C7/9/E", "C9/E"),
        ("C(b5)", "C(b5)"),
        ("C(#5)", "Caug"),
        ("C7alt", "C7alt"),
        ("Cm7no5", "Cm7no5"),
        ("B♭", "Bb"),
        ("F♯m/A♯", "F#m/A#"),
        ("Lam", "Am"),
        ("LAm", "Am"),
        ("Rem", "Dm"),
        ("Mi7", "E7"),
        ("SolM", "G"),
        ("Sol/Si", "G/B"),
        ("Fa#m7", "F#m7"),
        ("Sib", "Bb"),
        ("Do", "C"),
        ("Do7", "C7"),
        ("Fism", "F#m"),
        ("Es", "Eb"),
        ("As7", "Ab7"),
        ("H7", "B7"),
        ("Esus4", "Esus4"),
        ("Asus", "Asus4"),
        ("Fadd9", "Fadd9"),
        ("Faug", "Faug"),
        ("G6/B", "G6/B"),
        ("D5", "D5"),
        ("n.c.", "N.C."),
    ],
)
def test_canonical_text(text: str, canonical: str) -> None:
    found = chord(text)
    assert symbol(found) == canonical
    assert found.text == text
    assert pitch_classes(chord(canonical)) == pitch_classes(found)


@pytest.mark.parametrize(
    "text",
    [
        *("", " ", "/", "/G", "C/", "C/9", "C(", "Am/", "Am I", "A major", "a", "am", "b", "e", "c7"),
        *(
            "Be",
            "Fade",
            "Add",
            "Dad",
            "Edge",
            "Bass",
            "Dead",
            "Face",
            "Go",
            "Ago",
            "Gm.",
            "Ebb",
            "Cab",
            "Bad",
        ),
        *("Demo", "Dose", "Fail", "Game", "Amp", "Aim", "Ah", "Fill", "Solo", "Mimi", "Remi", "Miss", "Site"),
        *("Double", "Chorus", "Bridge", "Am7x", "E|", "e-5", "G:", "D-5", "H2O", "Capo", "Gtr", "His"),
        *("x32010", "3", "PM", "N", "nc", "C79x", "C#b", "Csus5", "B---", "A--5"),
    ],
)
def test_other_text_is_no_chord(text: str) -> None:
    assert parse_chord(text) is None


def test_tones_are_spelled_over_the_root() -> None:
    assert tones(chord("D7")) == (("1", "D"), ("3", "F#"), ("5", "A"), ("b7", "C"))
    assert tones(chord("Ebm7b5")) == (("1", "Eb"), ("b3", "Gb"), ("b5", "Bbb"), ("b7", "Db"))
    assert [note for _, note in tones(chord("Bdim7"))] == ["B", "D", "F", "Ab"]
    assert tones(chord("N.C.")) == ()


@pytest.mark.parametrize(
    ("text", "roles"),
    [
        ("Am", {9: "root", 0: "minor third", 4: "perfect fifth", 2: None}),
        ("D7#9", {2: "root", 6: "major third", 0: "minor seventh", 5: "augmented ninth"}),
        ("Bm7b5", {11: "root", 2: "minor third", 5: "diminished fifth", 9: "minor seventh"}),
        ("Bdim7", {8: "diminished seventh"}),
        ("Cadd9/F", {2: "major ninth", 5: "bass", 0: "root"}),
        ("D/F#", {6: "major third"}),
        ("Gsus4", {0: "perfect fourth", 11: None}),
        ("C6/9", {9: "major sixth", 2: "major ninth"}),
        ("C13", {5: "perfect eleventh", 9: "major thirteenth"}),
        ("N.C.", {0: None}),
    ],
)
def test_roles(text: str, roles: dict[int, str | None]) -> None:
    assert {pitch: role(chord(text), pitch) for pitch in roles} == roles


@pytest.mark.parametrize("row", QUALITIES, ids=lambda row: row.suffix or "major")
def test_musicxml_and_back(row: Quality) -> None:
    for root in ("C", "F#", "Bb"):
        found = chord(root + row.suffix + "/E")
        kind, changes = musicxml_kind(found)
        back = chord_from_musicxml(found.root_step, found.root_alter, kind, changes, found.bass)
        assert back == symbol(found)


def test_no_chord_in_musicxml() -> None:
    assert musicxml_kind(chord("NC")) == ("none", ())
    assert chord_from_musicxml("C", 0, "none") == "N.C."


def test_musicxml_that_no_symbol_says() -> None:
    for kind in ("Neapolitan", "Italian", "French", "German", "pedal", "Tristan", "no-such-kind"):
        assert chord_from_musicxml("C", 0, kind) is None


def test_musicxml_written_in_other_ways() -> None:
    assert chord_from_musicxml("A", 0, "minor-seventh", [DegreeChange(5, -1, "alter")]) == "Am7b5"
    assert chord_from_musicxml("C", 0, "major", [DegreeChange(7, 1, "add")]) == "Cmaj7"
    assert chord_from_musicxml("C", 0, "major", [DegreeChange(3, 0, "subtract")]) == "C5"
    assert chord_from_musicxml("F", 2, "diminished-seventh") == "Gdim7"
    assert chord_from_musicxml("C", 0, "major", (), ("B", -2)) == "C/A"


def test_musicxml_as_music21_reads_it() -> None:
    # Outside check: music21 builds the pitches from our kind and degrees. A minor seventh added to a chord
    # without one (7sus4) is left out: music21 10.5 adds a major seventh, against degree-alter's definition.
    from music21 import converter, harmony

    texts = [
        *("C", "F#m", "Bb7", "Amaj7", "Em7", "Dm7b5", "Gdim7", "Csus4", "A5", "Dadd9", "Cm(maj7)"),
        *("C9", "Caug7", "G7#9", "G7b9", "D6/9", "Cmaj7#11", "Em11", "F13"),
        *("C7b5", "C13b9", "F#13#11", "C(b5)", "A7no5", "Cm7no5", "Cmaj7sus4", "Cmaj7#5", "C9#5", "C7b9#9"),
        *("Cm(b6)", "Bb7b13", "Dmaj9#11", "Csus2sus4", "Am9b5", "E7#5#9"),
    ]
    harmonies = "".join(map(_harmony, texts))
    xml = (
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name/></score-part></part-list>'
        f'<part id="P1"><measure number="1"><attributes><divisions>1</divisions></attributes>{harmonies}'
        "<note><rest/><duration>4</duration></note></measure></part></score-partwise>"
    )
    found = list(
        converter.parseData(xml, format="musicxml").recurse().getElementsByClass(harmony.ChordSymbol)
    )
    assert len(found) == len(texts)
    for text, theirs in zip(texts, found, strict=True):
        assert {p.pitchClass for p in theirs.pitches} == pitch_classes(chord(text)), text


def _harmony(text: str) -> str:
    kind, changes = musicxml_kind(chord(text))
    degrees = "".join(
        f"<degree><degree-value>{c.value}</degree-value><degree-alter>{c.alter}</degree-alter>"
        f"<degree-type>{c.type}</degree-type></degree>"
        for c in changes
    )
    step, alter = chord(text).root_step, chord(text).root_alter
    root = f"<root><root-step>{step}</root-step><root-alter>{alter}</root-alter></root>"
    return f"<harmony>{root}<kind>{kind}</kind>{degrees}</harmony>"


@pytest.mark.parametrize(
    ("text", "nearest"),
    [
        ("Cmajor7", "Cmaj7"),
        ("Amm", "Am"),
        ("Gsus5", "Gsus4"),
        ("F#mm7", "F#m7"),
        ("Lamm", "Am"),
        ("xyz", None),
        ("Hello", None),
        ("", None),
    ],
)
def test_nearest_known(text: str, nearest: str | None) -> None:
    assert nearest_known(text) == nearest


def test_import_loads_nothing_heavy() -> None:
    heavy = "{'music21', 'numpy', 'lxml', 'difflib'}"
    code = f"import tabtools.theory.chord, sys; print(sorted({heavy} & set(sys.modules)))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"
