from __future__ import annotations

import json
from pathlib import Path

import pytest

from tabtools.theory.scale import SCALES, scale_notes

TABLES = json.loads((Path(__file__).parents[1] / "cases/harmony/tables.json").read_text(encoding="utf-8"))
CASES = {
    "major_scale": "major",
    "natural_minor": "natural minor",
    "harmonic_minor": "harmonic minor",
    "melodic_minor_ascending": "melodic minor",
    "major_pentatonic": "major pentatonic",
    "minor_pentatonic": "minor pentatonic",
    "major_blues": "major blues",
    "minor_blues": "blues",
}


@pytest.mark.parametrize("table", CASES)
def test_scales_are_spelled_as_in_the_table(table: str) -> None:
    # Outside check: the tables were spelled by music21, see their source note.
    assert len(TABLES[table]) >= 12
    for tonic, notes in TABLES[table].items():
        assert scale_notes(tonic, CASES[table]) == tuple(notes)


@pytest.mark.parametrize(
    "mode", ["ionian", "dorian", "phrygian", "lydian", "mixolydian", "aeolian", "locrian"]
)
def test_modes_are_rotations_of_the_major_scale(mode: str) -> None:
    # Outside check: music21's scale of the same name.
    from music21 import key

    for tonic in ("C", "F#", "Bb", "E"):
        theirs = key.Key(tonic.replace("b", "-"), mode).getPitches()[:7]
        assert scale_notes(tonic, mode) == tuple(p.name.replace("-", "b") for p in theirs)


def test_every_scale_rises_from_its_tonic() -> None:
    for scale in SCALES.values():
        assert scale.semitones[0] == 0
        assert list(scale.semitones) == sorted(set(scale.semitones))
        assert scale.semitones[-1] < 12


def test_relative_pairs_share_scale_and_pentatonic() -> None:
    for major, minor in TABLES["relative_minor"].items():
        assert set(scale_notes(major, "major")) == set(scale_notes(minor, "natural minor"))
        assert set(scale_notes(major, "major pentatonic")) == set(scale_notes(minor, "minor pentatonic"))


def test_unknown_names_are_errors() -> None:
    with pytest.raises(ValueError, match="unknown scale: 'hexatonic'"):
        scale_notes("C", "hexatonic")
    with pytest.raises(ValueError, match="not a note name: 'H'"):
        scale_notes("H", "major")
