from __future__ import annotations

import json

import pytest

from tabtools.forms.boxes import anchor, boxes, scale_box
from tabtools.forms.neck import neck
from tabtools.instrument import GUITAR, TUNINGS, instrument_from
from tests.forms.cases import DIRECTORY

_BOXES = json.loads((DIRECTORY / "reference.json").read_text("utf-8"))["boxes"]
_A_MINOR = 5  # the fret of A on string 6


def test_the_five_boxes_of_a_minor() -> None:
    """Frets and forms as in a course handbook's five patterns."""
    for box, row in zip(boxes(), _BOXES, strict=True):
        assert [[fret + _A_MINOR for fret in pair] for pair in box.frets] == row["frets"]
        low, high = (fret + _A_MINOR for fret in box.position)
        assert (box.minor_form, anchor(box.minor_form, 9, low, high)) == (
            row["minor_form"],
            row["minor_anchor"],
        )
        assert (box.major_form, anchor(box.major_form, 0, low, high)) == (
            row["major_form"],
            row["major_anchor"],
        )


def test_a_scale_box_against_music21() -> None:
    """The notes of music21's major and minor scales, on every string between two frets."""
    from music21 import scale

    for tonic, name, reference in (
        ("G", "major", scale.MajorScale("G")),
        ("B", "harmonic minor", scale.HarmonicMinorScale("B")),
        ("E", "dorian", scale.DorianScale("E")),
    ):
        pitches = reference.getPitches("C2", "C4")
        classes = {p.pitchClass: p.name.replace("-", "b") for p in pitches}
        for string, places in scale_box(neck(GUITAR), tonic, name, 4, 8):
            expected = [
                (fret, classes[GUITAR.midi(string, fret) % 12])
                for fret in range(4, 9)
                if GUITAR.midi(string, fret) % 12 in classes
            ]
            assert list(places) == expected


def test_a_scale_box_on_a_ukulele_begins_at_the_nut() -> None:
    ukulele = instrument_from(next(row for row in TUNINGS if row.instrument == "Ukulele"))
    rows = dict(scale_box(neck(ukulele), "C", "major pentatonic", -2, 3))
    assert rows[3] == ((0, "C"), (2, "D"))
    assert list(rows) == [4, 3, 2, 1]


def test_an_unknown_scale() -> None:
    with pytest.raises(ValueError, match="unknown scale"):
        scale_box(neck(GUITAR), "C", "whole tone", 0, 4)
