from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tabtools.theory.chord import Chord, pitch_classes
from tabtools.theory.line_of_fifths import letter, place_of_letter, step_alter
from tabtools.theory.qualities import (
    NO_CHORD,
    QUALITIES,
    DegreeChange,
    Quality,
    quality_of_degrees,
    quality_of_kind,
    quality_of_suffix,
)

ROOTS = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")

# What music21 calls each row. Where it has no working name, the intervals over the root, and why.
MUSIC21 = {
    "": "",
    "m": "m",
    "7": "7",
    "maj7": "maj7",
    "m7": "m7",
    "5": "power",
    "sus4": "sus4",
    "sus2": "sus2",
    "dim": "dim",
    "aug": "aug",
    "6": "6",
    "m6": "m6",
    "m7b5": "ø7",
    "dim7": "o7",
    "m(maj7)": "mM7",
    "aug7": "+7",
    "9": "9",
    "maj9": "M9",
    "m9": "m9",
    "11": "11",
    "maj11": "M11",
    "m11": "m11",
    "13": "13",
    "maj13": "M13",
    "m13": "m13",
    "add9": "add9",
    "madd9": "madd9",
    "6/9": "6add9",
    "m6/9": "m6add9",
    "7sus4": "7sus4",
    "9sus4": "7sus4add9",
    "sus2sus4": "sus2add4",
    "maj7#5": "+M7",
    "m(maj9)": "mM9",
    "9#5": "+9",
    "m9b5": "ø9",
}
INTERVALS = {
    "7sus2": "P1 M2 P5 m7",  # 7sus2 raises ValueError
    "13sus4": "P1 P4 P5 m7 M9 M13",  # 13sus4 raises ValueError
    "maj7sus4": "P1 P4 P5 M7",  # raises ValueError
    "maj7sus2": "P1 M2 P5 M7",  # raises ValueError
    "dim(maj7)": "P1 m3 d5 M7",  # no chord type
    "7alt": "P1 M3 d5 m7 m9 A9 m13",  # no chord type
}


def chord_of(root: str, quality: Quality) -> Chord:
    step, alter = step_alter(place_of_letter(root))
    return Chord(step, alter, quality, None, "")


@pytest.mark.parametrize("row", QUALITIES, ids=lambda row: row.suffix or "major")
def test_every_row_over_every_root_sounds_as_music21_has_it(row: Quality) -> None:
    # Outside check: music21's chord symbols, or its intervals where it has no symbol.
    from music21 import harmony, pitch

    for root in ROOTS:
        theirs = root.replace("b", "-")
        if row.suffix in MUSIC21:
            pitches = harmony.ChordSymbol(theirs + MUSIC21[row.suffix]).pitches
        else:
            pitches = [pitch.Pitch(theirs).transpose(i) for i in INTERVALS[row.suffix].split()]
        assert pitch_classes(chord_of(root, row)) == {p.pitchClass for p in pitches}


def kind_values() -> Iterator[str]:
    """The values of kind-value in the MusicXML schema that music21 brings along."""
    import music21.musicxml
    from lxml import etree

    schema = etree.parse(Path(music21.musicxml.__file__).parent / "musicxml.xsd")
    path = "//xs:simpleType[@name='kind-value']//xs:enumeration/@value"
    found = schema.xpath(path, namespaces={"xs": "http://www.w3.org/2001/XMLSchema"})
    assert isinstance(found, list)
    yield from map(str, found)


def test_kinds_are_those_of_the_schema() -> None:
    kinds = set(kind_values())
    assert len(kinds) == 33
    assert {row.kind for row in QUALITIES} <= kinds
    spoken = {kind for kind in kinds if quality_of_kind(kind, ())}
    assert kinds - spoken == {"Neapolitan", "Italian", "French", "German", "pedal", "Tristan", "other"}


@pytest.mark.parametrize("row", [q for q in QUALITIES if not q.changes], ids=lambda row: row.kind)
def test_kinds_as_music21_builds_them(row: Quality) -> None:
    # Outside check: music21 builds a chord from the kind alone; it says minor-major-seventh and the like.
    from music21 import harmony

    theirs = harmony.CHORD_ALIASES.get(row.kind, row.kind)
    pitches = harmony.ChordSymbol(root="C", kind=theirs).pitches
    assert pitch_classes(chord_of("C", row)) == {p.pitchClass for p in pitches}


def test_the_usual_kinds() -> None:
    usual = {
        "m7b5": ("half-diminished", ()),
        "m(maj7)": ("major-minor", ()),
        "5": ("power", ()),
        "9": ("dominant-ninth", ()),
        "7sus4": ("suspended-fourth", (DegreeChange(7, 0, "add"),)),
        "maj7sus4": ("suspended-fourth", (DegreeChange(7, 1, "add"),)),
        "add9": ("major", (DegreeChange(9, 0, "add"),)),
        "7b9": ("dominant", (DegreeChange(9, -1, "add"),)),
        "7b5": ("dominant", (DegreeChange(5, -1, "alter"),)),
        "13#11": ("dominant-13th", (DegreeChange(11, 1, "alter"),)),
        "7no5": ("dominant", (DegreeChange(5, 0, "subtract"),)),
    }
    for suffix, (kind, changes) in usual.items():
        quality = quality_of_suffix(suffix)
        assert quality is not None
        assert (quality.kind, quality.changes) == (kind, changes)


def test_whatever_is_recognised_can_be_encoded_and_read_back() -> None:
    words = ["b5", "#5", "b9", "#9", "#11", "b13", "13", "add9", "add11", "sus4", "sus2", "no3", "no5"]
    read = 0
    for row in QUALITIES:
        for spelling in (row.suffix, *row.spellings):
            for word in ("", *words):
                quality = quality_of_suffix(spelling + word)
                if quality is None:
                    continue
                read += 1
                assert quality_of_kind(quality.kind, quality.changes) == quality
                assert quality_of_suffix(quality.suffix) == quality
    assert read > 1000


def test_every_spelling_of_a_row_is_read_as_it() -> None:
    for row in QUALITIES:
        for spelling in (row.suffix, *row.spellings):
            assert quality_of_suffix(spelling) is row


def test_other_is_built_from_its_degrees() -> None:
    changes = [DegreeChange(3, -1, "add"), DegreeChange(5, 0, "add"), DegreeChange(7, 0, "add")]
    quality = quality_of_kind("other", changes)
    assert quality is not None
    assert quality.suffix == "m7"


def test_a_second_beside_a_third_is_a_ninth() -> None:
    quality = quality_of_kind("major", [DegreeChange(2, 0, "add")])
    assert quality is not None
    assert quality.suffix == "add9"


def test_degrees_that_no_symbol_says() -> None:
    assert quality_of_degrees(frozenset({"1", "b2", "b5"})) is None
    assert quality_of_kind("none", ()) is NO_CHORD
    assert quality_of_kind("dominant-seventh", ()) is None


@pytest.mark.parametrize("suffix", ["/9", "(", "()", "7(b9", "7)", "(,)", "7b9)", "m/", "9add9", "b9", "-5"])
def test_suffixes_that_are_none(suffix: str) -> None:
    assert quality_of_suffix(suffix) is None


def test_derived_suffixes_stay_off_the_root() -> None:
    quality = quality_of_suffix("(b5)")
    assert quality is not None
    assert quality.suffix == "(b5)"
    assert letter(place_of_letter("C")) + quality.suffix == "C(b5)"
