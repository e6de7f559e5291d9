"""Whole pages of our own that mix habits of people who type tab, against their readings."""

from __future__ import annotations

from pathlib import Path

import pytest

from tabtools.document import Document
from tabtools.lint.engine import check
from tabtools.lint.finding import Severity
from tabtools.lint.rules import load_all
from tabtools.source import decode
from tabtools.text.reader import read_text
from tests.text.test_worked_readings import bar_words

PAGES = Path(__file__).parent.parent / "cases" / "pages"
NAMES = sorted(path.stem for path in PAGES.glob("*.txt"))
# How a page is drawn is plain from the page itself; its rhythm has tests of its own.
ELSEWHERE = {"missing-string", "unnamed-tuning", "rhythm-unclear"}


def read(name: str) -> Document:
    return read_text(decode(name, (PAGES / f"{name}.txt").read_bytes()))


def expected(name: str) -> tuple[dict[str, str], list[str]]:
    head, _, bars = (PAGES / f"{name}.expect").read_text("utf-8").partition("---\n")
    return dict(line.split(" ", 1) for line in head.splitlines()), bars.splitlines()


def facts(document: Document) -> dict[str, str]:
    bars = [bar for part in document.score.parts for bar in part.bars]
    first, instrument = bars[0], document.score.parts[0].instrument
    starts = [number for number, bar in enumerate(bars, 1) if bar.repeat_start] or [1]
    ends = [(number, bar.repeat_times) for number, bar in enumerate(bars, 1) if bar.repeat_times]
    numbered = list(enumerate(bars, 1))
    found = {
        "tuning": " ".join(pitch.name for pitch in reversed(instrument.tuning)),
        "capo": str(instrument.capo or ""),
        "key": first.key.name if first.key else "",
        "time": first.time.name,
        "tempo": str(first.tempo.per_minute) if first.tempo else "",
        "chords": ", ".join(f"{number} {h.symbol}" for number, bar in numbered for h in bar.harmonies),
        "sections": ", ".join(f"{number} {bar.section}" for number, bar in numbered if bar.section),
        "endings": ", ".join(f"{number} {bar.endings[0]}" for number, bar in numbered if bar.endings),
        "repeats": ", ".join(f"{a} {b} {times}" for a, (b, times) in zip(starts, ends, strict=False)),
        "doubts": " ".join(sorted({doubt.kind for doubt in document.doubts} - ELSEWHERE)) or "-",
    }
    return {fact: word for fact, word in found.items() if word}


@pytest.mark.parametrize("name", NAMES)
def test_page(name: str) -> None:
    want, bars = expected(name)
    document = read(name)
    assert [bar_words(bar.events) for part in document.score.parts for bar in part.bars] == bars
    assert facts(document) == want


@pytest.mark.parametrize("name", NAMES)
def test_a_clean_page_gets_no_warning(name: str) -> None:
    if expected(name)[0]["doubts"] == "-":
        found = check(read(name), load_all())
        assert [(f.rule, f.message) for f in found if f.severity >= Severity.WARNING] == []
