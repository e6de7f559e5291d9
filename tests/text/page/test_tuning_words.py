"""How words say that strings are tuned, up to the instrument that is read."""

from __future__ import annotations

import pytest

from tabtools.source import Source
from tabtools.text.reader import read_text

DOWN = "Eb2 Ab2 Db3 Gb3 Bb3 Eb4"
WHOLE = "D2 G2 C3 F3 A3 D4"
USUAL = "E2 A2 D3 G3 B3 E4"
DROP_D = "D2 A2 D3 G3 B3 E4"
ROWS = """
e|-0--------|-3--------|
B|-1--------|-0--------|
G|-2--------|-0--------|
D|----------|----------|
A|----------|----------|
E|----------|----------|
"""


@pytest.mark.parametrize(
    ("text", "tuning"),
    [
        ("Tuning: standard, half a step down", DOWN),
        ("tuned a half step low", DOWN),
        ("everything a half-step down", DOWN),
        ("Tuning: EADGBE tuned down 1/2 step", DOWN),
        ("Strój: pół tonu w dół", DOWN),
        ("Строй: на полтона ниже", DOWN),
        ("All strings down a whole step", WHOLE),
        ("Detuned one full step (D G C F A D)", WHOLE),
        ("D-Standard, 90bpm", WHOLE),
        ("Tuned to C standard", "C2 F2 Bb2 D#3 G3 C4"),
        ("Lower the 6th string to E♭", "D#2 A2 D3 G3 B3 E4"),
        ("Tuning: 6 = D, 3 = F♯", "D2 A2 D3 F#3 B3 E4"),
        ("tuned down to C#", "C#2 F#2 B2 E3 G#3 C#4"),
        ("Tuning: one and a half steps down", "C#2 F#2 B2 E3 G#3 C#4"),
        ("Tune: all strings 2 steps down", "C2 F2 Bb2 D#3 G3 C4"),
        ("Drop D tuned down a half step", "C#2 G#2 C#3 F#3 A#3 D#4"),
        ("drop the low E to D", DROP_D),
        ("Low E tuned down to D", DROP_D),
        ("Tune the 6th string down to D", DROP_D),
        ("standard tuning but 6th string to D", DROP_D),
        ("6. Saite auf D gestimmt", DROP_D),
        ("6=D", DROP_D),
        ("6=D, 5=G", "D2 G2 D3 G3 B3 E4"),
        ("Tuning: (6) D (5) A (4) D (3) G (2) B (1) E", DROP_D),
        ("Tuning (low to high): D A D F# A D", "D2 A2 D3 F#3 A3 D4"),
        ("strings: D A D G A D low to high", "D2 A2 D3 G3 A3 D4"),
        ("Slide blues, open G, capo 2", "D2 G2 D3 G3 B3 D4"),
        ("let the open G string ring", USUAL),
        ("move the shape down a whole step", USUAL),
        ("slide down a half step on the low E string", USUAL),
        ("the key of D, standard tuning", USUAL),
        ("in E standard tuning", USUAL),
        ("1 = index, 2 = middle", USUAL),
        ("strings: light gauge", USUAL),
    ],
)
def test_words(text: str, tuning: str) -> None:
    instrument = read_text(Source("page", text + "\n" + ROWS)).score.parts[0].instrument
    assert " ".join(pitch.name for pitch in reversed(instrument.tuning)) == tuning


@pytest.mark.parametrize(
    ("text", "labels", "tuning"),
    [
        ("5-string bass, tuned down a half step", "GDAEB", "Bb0 D#1 G#1 C#2 F#2"),
        ("Bass, tune the low E down to D", "GDAD", "D1 A1 D2 G2"),
        ("7 string, all strings down a whole step", "       ", "A1 D2 G2 C3 F3 A3 D4"),
    ],
)
def test_other_instruments(text: str, labels: str, tuning: str) -> None:
    rows = "".join(f"{label.strip()}|-0-2-4-|\n" for label in labels)
    instrument = read_text(Source("page", f"{text}\n\n{rows}")).score.parts[0].instrument
    assert " ".join(pitch.name for pitch in reversed(instrument.tuning)) == tuning
