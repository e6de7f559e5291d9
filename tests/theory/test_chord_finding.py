from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from tabtools.instrument import GUITAR
from tabtools.theory.chord import Chord, parse_chord, pitch_classes, symbol
from tabtools.theory.chord_finding import COMMON, find_chord
from tabtools.theory.key import parse_key

CASES = Path(__file__).parents[1] / "cases/harmony"
GRIPS = [
    line.split("\t")
    for line in (CASES / "grips.tsv").read_text(encoding="utf-8").splitlines()
    if not line.startswith("#")
]


def _named(midis: list[int], key: str | None = None) -> str | None:
    weights = Counter(float(midi % 12) for midi in midis)
    found = find_chord(
        {int(p): w for p, w in weights.items()}, min(midis) % 12, parse_key(key) if key else None
    )
    return symbol(found.chord) if found else None


@pytest.mark.parametrize(("frets", "name"), GRIPS, ids=[name for _, name in GRIPS])
def test_grips_have_the_names_that_players_give_them(frets: str, name: str) -> None:
    digits = frets.split() if " " in frets else list(frets)
    open_strings = [GUITAR.midi(string, 0) for string in range(6, 0, -1)]
    midis = [at + int(fret) for at, fret in zip(open_strings, digits, strict=True) if fret != "x"]
    assert _named(midis) == name


@pytest.mark.parametrize("suffix", COMMON)
def test_every_common_chord_over_its_root_is_found(suffix: str) -> None:
    chord = parse_chord("D" + suffix)
    assert chord is not None
    weights = dict.fromkeys(pitch_classes(chord), 1.0)
    found = find_chord(weights, 2)
    assert found is not None
    assert pitch_classes(found.chord) == pitch_classes(chord)
    assert found.outside == 0


def test_the_key_names_the_root_and_the_chord_its_bass() -> None:
    assert _named([58, 62, 65], "F major") == "Bb"
    assert _named([58, 62, 65], "E major") == "Bb"
    assert _named([54, 58, 61], "B major") == "F#"
    assert _named([54, 62, 69], "C major") == "D/F#"
    assert _named([53, 62, 69], "D major") == "Dm/F"


def test_what_is_left_over_is_counted() -> None:
    found = find_chord({0: 2.0, 4: 1.0, 7: 1.0, 2: 1.0}, 0)
    assert found is not None
    assert isinstance(found.chord, Chord)
    plain = find_chord({0: 3.0, 4: 3.0, 7: 3.0, 1: 1.0}, 0)
    assert plain is not None
    assert (plain.chord.text, plain.outside) == ("C", 0.1)


def test_less_than_two_notes_are_no_chord() -> None:
    assert find_chord({}, None) is None
    assert find_chord({4: 1.0}, 4) is None
