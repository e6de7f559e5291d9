"""Where the characters of a bar go."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tabtools.text.writing.spacing import BarText, Cell, Slot, place, render


def bar(*slots: tuple[str | None, Cell], length: int = 4, room: int = 0) -> BarText:
    made = tuple(Slot(None if onset is None else Fraction(onset), (cell,)) for onset, cell in slots)
    return BarText(made, Fraction(length), room)


def row(text: BarText, number: int = 0) -> str:
    (placed,) = place([text])
    return render(text, placed, number)


def test_columns_in_proportion_to_time() -> None:
    quarters = bar(*((str(beat), Cell(0, "5")) for beat in range(4)))
    assert row(quarters) == "-5---5---5---5---"
    assert row(quarters, 1) == "-----------------"


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        (bar(("0", Cell(0, "5")), ("1/2", Cell(0, "7", "h"))), "-5h7-------------"),
        (bar(("0", Cell(0, "5")), ("1", Cell(0, "7", join="/"))), "-5-/-7-----------"),
        (bar(("0", Cell(0, "7", trail="b9r7")), ("2", Cell(0, "5"))), "-7b9r7---5-------"),
        (bar(("0", Cell(0, "(12)", inset=1)), ("2", Cell(0, "5"))), "(12)-----5-------"),
        (bar((None, Cell(0, "5", "g")), ("1", Cell(0, "7", "h"))), "--g5h7-----------"),
    ],
)
def test_marks_stay_with_their_frets(text: BarText, shown: str) -> None:
    assert row(text) == shown


def test_a_crowded_bar_gets_more_columns() -> None:
    crowded = bar(("0", Cell(0, "15", trail="b17r15")), ("1", Cell(0, "12")))
    shown = row(crowded)
    assert shown.startswith("-15b17r15-")
    assert (len(shown) - 1) % 4 == 0


def test_bars_share_a_scale_unless_one_needs_more() -> None:
    plain = bar(("0", Cell(0, "5")), ("2", Cell(0, "7")))
    crowded = bar(("0", Cell(0, "15", trail="b17r15")), ("1", Cell(0, "12")))
    assert [placed.width for placed in place([plain, plain, plain, crowded])] == [17, 17, 17, 37]


def test_triplets_have_a_scale_of_their_own() -> None:
    straight = bar(("0", Cell(0, "5")), ("2", Cell(0, "7")))
    triplet = bar(("0", Cell(0, "5")), ("1/3", Cell(0, "7")), ("2/3", Cell(0, "8")))
    assert [placed.width for placed in place([straight, triplet])] == [17, 25]


def test_words_over_a_bar_get_their_room() -> None:
    (placed,) = place([bar(("0", Cell(0, "5")), room=20)])
    assert placed.width >= 20


def test_numbers_of_different_rows_never_share_a_column() -> None:
    text = BarText((Slot(Fraction(0), (Cell(0, "10"),)), Slot(Fraction(1, 8), (Cell(1, "12"),))), Fraction(4))
    (placed,) = place([text])
    assert placed.columns[1] - placed.columns[0] >= 2
