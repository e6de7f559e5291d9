"""Pages that say their rhythm in words, letters and counts."""

from __future__ import annotations

from pathlib import Path

import pytest

from tabtools.score import Bar
from tabtools.source import Source
from tabtools.text.reader import read_text
from tabtools.text.rhythm import UNCLEAR, spoken

FILE = Path(__file__).parents[2] / "cases" / "readings" / "rhythm.txt"
CASES = {
    block.partition("\n")[0]: block.partition("\n")[2] for block in FILE.read_text("utf-8").split("=== ")[1:]
}


def counted(bar: Bar) -> str:
    doubted = any(fact.confidence < UNCLEAR for event in bar.events for fact in event.inferred)
    return spoken([event.onset for event in bar.events if event.notes], bar.time) + " ?" * doubted


@pytest.mark.parametrize("name", CASES)
def test_reading(name: str) -> None:
    page, _, wanted = CASES[name].partition("\n--- ")
    (part,) = read_text(Source(name, page + "\n")).score.parts
    feel = part.bars[0].feel
    chords = [harmony.symbol for bar in part.bars for harmony in bar.harmonies]
    lines = [" ".join((feel.name if feel else "-", *chords)), *map(counted, part.bars)]
    assert "\n".join(lines) == wanted.strip("\n")
