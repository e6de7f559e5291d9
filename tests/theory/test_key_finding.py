from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tabtools.score import Key
from tabtools.theory.chord import Chord, parse_chord
from tabtools.theory.key_finding import PROFILES, key_of_chords, key_of_notes

CASES = Path(__file__).parents[1] / "cases/harmony"
PROGRESSIONS = [
    line.split("\t")
    for line in (CASES / "progressions.tsv").read_text(encoding="utf-8").splitlines()
    if not line.startswith("#")
]
BAR = Fraction(4)


def _name(key: Key) -> str:
    return key.name.split()[0] + ("m" if key.mode == "minor" else "")


def _chords(text: str) -> list[tuple[Chord, Fraction]]:
    return [(chord, BAR) for word in text.split() if (chord := parse_chord(word))]


def test_the_profiles_are_the_published_ones() -> None:
    # Outside check: music21's Temperley-Kostka-Payne weights.
    from music21.analysis.discrete import TemperleyKostkaPayne

    weights = TemperleyKostkaPayne()
    assert {mode: tuple(weights.getWeights(mode)) for mode in PROFILES} == PROFILES


def test_stock_progressions() -> None:
    found = {
        text: reading and _name(reading.key)
        for text, _ in PROGRESSIONS
        for reading in [key_of_chords(_chords(text))]
    }
    wrong = {text: found[text] for text, key in PROGRESSIONS if found[text] != key}
    # It begins on its sixth degree and stays there as long as on the others: minor is as good a reading.
    assert wrong == {"Am F C G": "Am"}
    assert len(PROGRESSIONS) == 24


@pytest.mark.parametrize(
    ("weights", "key"),
    [
        # Major pentatonic of G with the tonic doubled; the same notes with E doubled.
        ({7: 2, 9: 1, 11: 1, 2: 1, 4: 1}, "G"),
        ({7: 1, 9: 1, 11: 1, 2: 1, 4: 2}, "Em"),
        ({7: 3, 11: 2, 2: 3, 0: 2, 4: 1, 6: 1, 9: 1}, "G"),
    ],
)
def test_keys_of_note_weights(weights: dict[int, int], key: str) -> None:
    notes = [(60 + pitch, Fraction(weight)) for pitch, weight in weights.items()]
    last = {"G": 67, "Em": 64}[key]
    reading = key_of_notes([*notes, (last, Fraction(0))])
    assert reading is not None
    assert _name(reading.key) == key
    assert reading.evidence == "notes"


def test_the_last_note_decides_between_relatives() -> None:
    # A run over A minor's blues notes: by its notes alone the profile calls it C.
    run = [69, 67, 64, 63, 62, 60]
    reading = key_of_notes([(midi, Fraction(1)) for midi in [*run, 57]])
    assert reading is not None
    assert {_name(reading.key), _name(reading.runner_up)} >= {"Am"}


def test_nothing_gives_no_key() -> None:
    assert key_of_notes([]) is None
    assert key_of_chords(_chords("N.C. N.C.")) is None


def test_a_clear_margin_is_confidence() -> None:
    clear = key_of_chords(_chords("C F G7 C"))
    unclear = key_of_chords(_chords("Am F C G"))
    assert clear is not None
    assert unclear is not None
    assert clear.confidence > 0.95 > unclear.confidence
    assert clear.evidence == "chords"


@given(
    st.lists(st.tuples(st.integers(40, 88), st.fractions(0, 8)), min_size=1, max_size=30), st.integers(1, 11)
)
def test_a_transposed_melody_has_the_transposed_key(notes: list[tuple[int, Fraction]], by: int) -> None:
    first = key_of_notes(notes)
    second = key_of_notes([(midi + by, length) for midi, length in notes])
    assert first is not None
    assert second is not None
    assert abs(first.margin - second.margin) < 1e-3
    if first.margin > 1e-3:
        tonic = parse_chord(_name(first.key)), parse_chord(_name(second.key))
        assert tonic[0] is not None
        assert tonic[1] is not None
        assert first.key.mode == second.key.mode
