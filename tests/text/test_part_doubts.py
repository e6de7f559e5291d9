"""What was not understood of letters and metre is told, and the music stays."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tabtools.document import Document
from tabtools.source import Source
from tabtools.text.reader import read_text

EMPTY = "".join(f"{string}|---------------|---------------|\n" for string in "BGDAE")
FULL = "   q.  e q   q     q   q   q   q\n"
FIRST = "e|-5---7-8---7---|-8---7---5---3---|\n"


def _read(*lines: str) -> Document:
    return read_text(Source("page", "".join(lines)))


def _lengths(document: Document) -> list[list[Fraction]]:
    return [[event.duration for event in bar.events] for bar in document.score.parts[0].bars]


def _kinds(document: Document) -> list[str]:
    return [doubt.kind for doubt in document.doubts if doubt.kind in ("letters-mismatch", "time-disagrees")]


def test_letters_over_all_notes_leave_nothing_open() -> None:
    assert _kinds(_read("Time: 4/4\n\n", FULL, FIRST, EMPTY)) == []


@pytest.mark.parametrize("column", [index for index, sign in enumerate(FULL) if sign in "qe"])
def test_a_lost_letter_is_told_and_changes_nothing(column: int) -> None:
    width = 2 if FULL[column + 1] == "." else 1
    letters = FULL[:column] + " " * width + FULL[column + width :]
    document = _read("Time: 4/4\n\n", letters, FIRST, EMPTY)
    assert _kinds(document) == ["letters-mismatch"]
    assert _lengths(document) == _lengths(_read("Time: 4/4\n\n", FULL, FIRST, EMPTY))


def test_a_writer_who_sets_letters_only_where_the_length_changes_is_believed() -> None:
    changes = "   q.  e q         q            \n"
    document = _read("Time: 4/4\n\n", changes, FIRST, EMPTY)
    assert _kinds(document) == []
    assert _lengths(document) == _lengths(_read("Time: 4/4\n\n", FULL, FIRST, EMPTY))


def test_letters_moved_a_note_on_are_told() -> None:
    letters = "       q.  e q   q q   q   q   q\n"
    assert _kinds(_read("Time: 4/4\n\n", letters, FIRST, EMPTY)) == ["letters-mismatch"]


@pytest.mark.parametrize("step", [2, 3, 4])
@pytest.mark.parametrize(("written", "shown"), [("3/4", "4/4"), ("6/8", "4/4"), ("4/4", "4/4")])
def test_bars_that_deny_the_metre_are_read_as_they_are_drawn(step: int, written: str, shown: str) -> None:
    bar = "-" + "".join(fret.ljust(step, "-") for fret in "01353101")
    half = "-" + "".join(fret.ljust(2 * step, "-") for fret in "0330")
    rows = f"e|{bar}|{bar}|{half}|{bar}|\n"
    rows += "".join(f"{string}|" + f"{'-' * len(bar)}|" * 4 + "\n" for string in "BGDAE")
    document = _read(f"Time: {written}\n\n", rows)
    assert _kinds(document) == ["time-disagrees"] * (written != shown)
    assert {bar.time.name for bar in document.score.parts[0].bars} == {shown}
    assert _lengths(document)[0] == [Fraction(1, 2)] * 8


@pytest.mark.parametrize("notes", ["013101", "0-1-3-", "0---1-", "013---"])
def test_bars_of_three_beats_keep_their_metre(notes: str) -> None:
    bar = "-" + "".join(fret.ljust(2, "-") for fret in notes)
    rows = f"e|{bar}|{bar}|{bar}|{bar}|\n"
    rows += "".join(f"{string}|" + f"{'-' * len(bar)}|" * 4 + "\n" for string in "BGDAE")
    assert _kinds(_read("Time: 3/4\n\n", rows)) == []
