"""The chord or note that is meant: what the rest of a page says about one bar of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tabtools.lint.claims import denied_claims
from tabtools.lint.engine import check
from tabtools.lint.finding import Severity
from tabtools.lint.meant import Misplaced, OtherChord, OtherNote, readings
from tabtools.lint.rules import load_all
from tabtools.reading import read

PAGES = Path(__file__).parents[1] / "cases" / "judgement"
NAMES = sorted(path.name for path in PAGES.glob("*.txt"))
FORMS = PAGES / "g02-seventh-position.txt"
CLAIMS = {
    "All in ninth position.": False,
    "All in seventh position.": True,
    "A in the D form": True,
    "A in the G form": False,
    "the C# over A": True,
    "the C over A": False,
    "The chords are E, A and B": True,
    "The chords are E, D and B": False,
    "G# is the third of E": True,
    "G is the third of E": False,
    "six bars of it": True,
    "five bars of it": False,
    "walking home at the end of a long day": True,
}


def _spoilt(before: str, after: str) -> list[object]:
    text = FORMS.read_text("utf-8")
    assert before in text
    return list(readings(read("page.txt", text.replace(before, after, 1).encode()).score))


@pytest.mark.parametrize("name", NAMES)
def test_a_good_page_has_no_warning(name: str) -> None:
    found = check(read(name, (PAGES / name).read_bytes()), load_all())
    warned = [finding for finding in found if finding.severity > Severity.INFO]
    # What the reader did not understand of a fact is no judgement on the music.
    assert [finding.message for finding in warned if finding.rule != "fact-unclear"] == []


def test_another_chord_is_told_with_its_evidence() -> None:
    (reading,) = _spoilt("   C#m    ", "   A      ")
    assert isinstance(reading, OtherChord)
    assert (reading.chord.text, reading.inside) == ("C#m", 8)
    assert reading.before < reading.inside


def test_one_note_beside_an_arpeggio_is_told() -> None:
    (reading,) = _spoilt("B|----------9-----9--------|", "B|----------7-----9--------|")
    assert isinstance(reading, OtherNote)
    assert (reading.placed.note.string, reading.placed.note.fret) == (2, 7)
    assert 9 in reading.fits


def test_a_symbol_that_stands_too_early_is_told() -> None:
    found = _spoilt("   E                         A\n", "   E              A\n")
    assert [type(reading) for reading in found] == [Misplaced]


@pytest.mark.parametrize("words", CLAIMS)
def test_claims_of_the_prose_are_held_against_the_rows(words: str) -> None:
    score = read("page.txt", FORMS.read_bytes()).score
    assert (list(denied_claims(words, score)) == []) is CLAIMS[words]
