"""The forms: their grips against a list of grips, and their chords against music21."""

from __future__ import annotations

import json
from collections.abc import Iterator
from itertools import product
from pathlib import Path
from typing import Any

import pytest

from tabtools.forms.neck import neck
from tabtools.forms.places import form_grip, placed
from tabtools.forms.table import BARRE, FORMS, QUALITIES, REACH, grips, letter_class, quality
from tabtools.instrument import GUITAR, TUNINGS, Tuning, instrument_from
from tests.forms.cases import DIRECTORY

_REFERENCE: dict[str, Any] = json.loads((DIRECTORY / "reference.json").read_text("utf-8"))
_ROOTS = ("C", "C#", "D", "E-", "E", "F", "F#", "G", "A-", "A", "B-", "B")
# The kinds of MusicXML as music21 calls them.
_KINDS = {
    "maj": "major", "min": "minor", "5": "power", "7": "dominant-seventh", "maj7": "major-seventh",
    "m7": "minor-seventh", "sus2": "suspended-second", "sus4": "suspended-fourth", "dim": "diminished",
    "aug": "augmented", "m7b5": "half-diminished-seventh", "dim7": "diminished-seventh",
    "6": "major-sixth", "9": "dominant-ninth", "m6": "minor-sixth", "m(maj7)": "minor-major-seventh",
    "7sus4": "suspended-fourth-seventh", "m9": "minor-ninth", "maj9": "major-ninth",
}  # fmt: skip
# Those that are a kind with one step added: the step, and semitones above the one in the major scale.
_ADDED = {
    "add9": ("major", 9, 0),
    "6/9": ("major-sixth", 9, 0),
    "7#9": ("dominant-seventh", 9, 1),
    "7b9": ("dominant-seventh", 9, -1),
}
# No hand within reach of the form holds these.
_NO_GRIP = {("A", "7#9"), ("G", "7#9"), ("D", "m9"), ("G", "m9")}
_BY_NAME = {f"{row.instrument} {row.names[0]}": row for row in TUNINGS}
_LETTERS = {
    "C": 0,
    "C#": 1,
    "D": 2,
    "Eb": 3,
    "E": 4,
    "F": 5,
    "F#": 6,
    "G": 7,
    "Ab": 8,
    "A": 9,
    "Bb": 10,
    "B": 11,
}


def test_frets_follow_from_degrees_as_in_the_list_of_grips() -> None:
    found = sorted((g.form, g.quality, tuple(sorted(g.frets, reverse=True))) for g in grips())
    expected = []
    for row in _REFERENCE["grips"]:
        frets = tuple((6 - i, int(f)) for i, f in enumerate(row["frets"].split()) if f != "x")
        expected.append((row["form"], row["quality"], frets))
    assert found == sorted(expected)
    assert len(found) == 122


def test_every_form_has_every_quality_that_a_hand_can_hold_and_its_main_grip_first() -> None:
    mains = {(grip.form, grip.quality) for grip in grips() if grip.main}
    assert mains == set(product(FORMS, QUALITIES)) - _NO_GRIP


def _music21_classes() -> dict[tuple[int, str], set[int]]:
    from music21 import harmony

    found = {
        (number, name): set(harmony.ChordSymbol(root=root, kind=kind).pitchClasses)
        for number, root in enumerate(_ROOTS)
        for name, kind in _KINDS.items()
    }
    for number, root in enumerate(_ROOTS):
        for name, (kind, degree, alter) in _ADDED.items():
            chord = harmony.ChordSymbol(root=root, kind=kind)
            step = harmony.ChordStepModification("add", degree, alter)
            chord.addChordStepModification(step, updatePitches=True)
            found[number, name] = set(chord.pitchClasses)
    return found


def test_every_form_of_every_root_in_every_tuning_spells_its_chord() -> None:
    """music21 10.5 names the notes of every chord; ours come from tuning and fret alone."""
    reference = _music21_classes()
    checked = whole = 0
    for row in TUNINGS:
        for capo in (0, 2):
            instrument = instrument_from(row, capo)
            at = neck(instrument)
            for grip, root in product(grips(), range(12)):
                for anchor in at.anchors(grip.form, root):
                    found = placed(at, grip, anchor)
                    if found is None:
                        continue
                    sounding = {instrument.midi(string, fret) % 12 for string, fret, _ in found.notes}
                    wanted = reference[root, grip.quality]
                    assert sounding <= wanted, (row.names, grip, anchor)
                    missing = set(quality(grip.quality).degrees) - {degree for *_, degree in found.notes}
                    assert len(wanted) - len(sounding) == len(missing)
                    checked += 1
                    whole += found.whole
    assert (checked, whole) > (60_000, 25_000)


@pytest.mark.parametrize("grip", grips(), ids=lambda grip: f"{grip.form}-{grip.quality}")
def test_only_fifths_are_left_out_of_a_grip(grip: Any) -> None:
    missing = set(quality(grip.quality).degrees) - {degree for _, degree in grip.degrees}
    assert missing <= {"5"}


def test_anchor_frets_of_every_major_chord() -> None:
    at = neck(GUITAR)
    for name, anchors in _REFERENCE["anchors"].items():
        for form, anchor in anchors.items():
            assert at.anchors(form, _LETTERS[name])[0] == anchor


@pytest.mark.parametrize(
    ("form", "fret", "chord"),
    [
        ("E", 8, "C"),
        ("E", 10, "D"),
        ("E", 3, "G"),
        ("E", 5, "A"),
        ("A", 7, "E"),
        ("A", 12, "A"),
        ("C", 2, "D"),
    ],
)
def test_facts_of_the_trade(form: str, fret: int, chord: str) -> None:
    """Common practice, no source."""
    assert neck(GUITAR).root(form, fret) == _LETTERS[chord]


def test_the_barre_of_the_d_form() -> None:
    """The D form of G has its barre at the seventh fret; common practice, no source."""
    at = neck(GUITAR)
    anchor = at.anchors("D", _LETTERS["G"])[0]
    assert anchor + BARRE["D"] == 7
    grip = form_grip(at, "D", "maj", anchor)
    assert grip is not None
    assert [fret for _, fret, _ in grip.notes] == [5, 7, 8, 7]


def test_one_chord_runs_through_the_forms_up_the_neck() -> None:
    """C, A, G, E, D, in steps of 3, 2, 3, 2 and 2 frets; common practice, no source."""
    at = neck(GUITAR)
    anchors = [at.anchors(form, 0)[0] for form in ("C", "A", "G", "E", "D")]
    assert [b - a for a, b in zip(anchors, [*anchors[1:], 12], strict=True)] == [3, 2, 3, 2, 2]


def test_triads_on_three_neighbouring_strings_and_the_forms_they_share() -> None:
    by_id = {(t["form"], t["quality"], t["strings"]): t for t in _REFERENCE["triads"]}
    for triad in _REFERENCE["triads"]:
        strings = [int(s) for s in triad["strings"].split("-")]
        places = set(zip(strings, triad["frets"], strict=True))
        own = [g for g in grips() if (g.form, g.quality) == (triad["form"], triad["quality"])]
        assert any(places <= set(grip.frets) for grip in own)
        for form, shift, root in triad["same"]:
            other = by_id[form, triad["quality"], triad["strings"]]
            assert [fret + shift for fret in other["frets"]] == triad["frets"]
            assert (letter_class(form) + shift - letter_class(triad["form"]) - root) % 12 == 0


@pytest.mark.parametrize("name", _BY_NAME)
def test_grips_lie_within_reach(name: str) -> None:
    row: Tuning = _BY_NAME[name]
    at = neck(instrument_from(row))
    for grip in grips():
        found = placed(at, grip, 7)
        if found is not None:
            low, high = REACH[grip.form]
            assert all(low <= fret - 7 <= high for _, fret, _ in found.notes)


@pytest.mark.parametrize("name", ["forms", "nearest"])
def test_the_schemas_know_every_quality(name: str) -> None:
    text = (Path(__file__).parents[2] / "schemas" / f"{name}.schema.json").read_text("utf-8")

    def listed(node: Any) -> Iterator[list[str]]:
        if isinstance(node, dict):
            if "maj" in node.get("enum", []):
                yield node["enum"]
            node = list(node.values())
        if isinstance(node, list):
            for child in node:
                yield from listed(child)

    found = list(listed(json.loads(text)))
    assert found
    assert all(sorted(qualities) == sorted(QUALITIES) for qualities in found)
