"""How fast forms are named: `python -m tests.benchmarks.forms`.

The samples' notes over and over, and seeded random lines, each in three lengths; the best of three runs
counts, in processor time. Notes a second must not fall with the length.
"""

from __future__ import annotations

import random
import time
from fractions import Fraction
from pathlib import Path

from tabtools.forms.naming import name_forms
from tabtools.instrument import GUITAR
from tabtools.reading import read
from tabtools.score import Bar, Event, Harmony, Note, Part
from tabtools.theory.key import parse_key
from tabtools.theory.spelling import spell

_SAMPLES = Path(__file__).parents[2] / "samples"
_LENGTHS = (2_000, 4_000, 8_000)
_RUNS = 3


def lessons(notes: int) -> Part:
    """The samples in standard tuning one after another, as often as it takes."""
    paths = sorted(_SAMPLES.glob("0[1-7]*.txt"))
    parts = [part for path in paths for part in read(path.name, path.read_bytes()).score.parts]
    bars: list[Bar] = []
    found = 0
    while found < notes:
        for bar in (bar for part in parts for bar in part.bars):
            bars.append(bar._replace(number=len(bars) + 1))
            found += sum(len(event.notes) for event in bar.events)
    return Part("lessons", GUITAR, tuple(bars))


def random_line(notes: int) -> Part:
    """Eighth notes anywhere within a hand that wanders, over a chord a bar."""
    rng = random.Random(7)
    bars, hand = [], 5
    key = parse_key("G major")
    for number in range(notes // 8):
        hand = min(max(hand + rng.randint(-3, 3), 1), 14)
        events = []
        for i in range(8):
            string, fret = rng.randint(1, 6), hand + rng.randint(0, 3)
            note = Note(string, fret, spell(GUITAR.midi(string, fret), key))
            events.append(Event(Fraction(i, 2), Fraction(1, 2), (note,)))
        chord = Harmony(Fraction(0), rng.choice(("G", "C", "D7", "Em", "Am7", "Bm", "F")))
        bars.append(Bar(number + 1, key=key, events=tuple(events), harmonies=(chord,)))
    return Part("random", GUITAR, tuple(bars))


def main() -> None:
    """Print notes a second of each line at each length."""
    for make in (lessons, random_line):
        for length in _LENGTHS:
            part = make(length)
            notes = sum(len(event.notes) for bar in part.bars for event in bar.events)
            best = min(_seconds(part) for _ in range(_RUNS))
            print(f"{make.__name__:12} {notes:6} notes {best:7.3f} s {notes / best:9.0f} notes/s")


def _seconds(part: Part) -> float:
    start = time.process_time()
    name_forms(part)
    return time.process_time() - start


if __name__ == "__main__":
    main()
