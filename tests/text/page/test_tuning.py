"""One parser for a tuning, wherever it is written."""

from __future__ import annotations

import pytest

from tabtools.cli.chords import instrument_from_options
from tabtools.config import resolve
from tabtools.source import Source
from tabtools.text.page.tuning import read_tuning
from tabtools.text.reader import read_text

# The strings from the last one up. Tunings are common practice, no source; German B is B flat.
SAID = {
    "standard": "E2 A2 D3 G3 B3 E4",
    "Drop D": "D2 A2 D3 G3 B3 E4",
    "drop-d": "D2 A2 D3 G3 B3 E4",
    "6=D": "D2 A2 D3 G3 B3 E4",
    "half step down": "Eb2 Ab2 Db3 Gb3 Bb3 Eb4",
    "ukulele": "G4 C4 E4 A4",
    "Ukulele standard": "G4 C4 E4 A4",
    "ukulele, low G": "G3 C4 E4 A4",
    "low g": "G3 C4 E4 A4",
    "baritone ukulele": "D3 G3 B3 E4",
    "bass": "E1 A1 D2 G2",
    "bass drop d": "D1 A1 D2 G2",
    "five-string bass": "B0 E1 A1 D2 G2",
    "mandolin": "G3 D4 A4 E5",
    "banjo": "G4 D3 G3 B3 D4",
    "E A D G B E": "E2 A2 D3 G3 B3 E4",
    "EADGBE": "E2 A2 D3 G3 B3 E4",
    "e B G D A E": "E2 A2 D3 G3 B3 E4",
    "E A D G H E": "E2 A2 D3 G3 B3 E4",
    "Mi La Re Sol Si Mi": "E2 A2 D3 G3 B3 E4",
    "Es As Des Ges B Es": "Eb2 Ab2 Db3 Gb3 Bb3 Eb4",
    "D2 A2 D3 G3 B3 E4": "D2 A2 D3 G3 B3 E4",
    "E4 B3 G3 D3 A2 D2": "D2 A2 D3 G3 B3 E4",
    "E4 B3 G3 D3 A2 C2": "C2 A2 D3 G3 B3 E4",
    "e B G D A C": "C2 A2 D3 G3 B3 E4",
    "C A D G B E": "C2 A2 D3 G3 B3 E4",
}
NONE = ("", "loud", "see below", "Bm7", "x")


def _low_to_high(strings: object) -> str:
    assert isinstance(strings, tuple)
    return " ".join(pitch.name for pitch in reversed(strings))


@pytest.mark.parametrize("text", SAID)
def test_every_place_reads_it_alike(text: str) -> None:
    tuning = read_tuning(text)
    assert tuning is not None
    assert _low_to_high(tuning.strings) == SAID[text]
    assert _low_to_high(instrument_from_options(text, 0).tuning) == SAID[text]
    plan = resolve({"instrument": {"tuning": text}}, {})
    assert _low_to_high(plan.defaults.tuning) == SAID[text]
    rows = "|-0---2---|\n" * len(tuning.strings)
    page = read_text(Source("page", f"Tuning: {text}\n\n{rows}"))
    assert _low_to_high(page.score.parts[0].instrument.tuning) == SAID[text]


@pytest.mark.parametrize("text", NONE)
def test_other_words_are_no_tuning(text: str) -> None:
    assert read_tuning(text) is None
