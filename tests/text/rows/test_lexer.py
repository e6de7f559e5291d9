"""Rows of text to notes, row by row."""

from __future__ import annotations

from pathlib import Path

import pytest

from tabtools.techniques import TECHNIQUES
from tabtools.text.rows.digits import split_digits
from tabtools.text.rows.lexer import read_row_tokens
from tabtools.text.rows.tokens import RowNote

CASES = [
    line
    for line in (Path(__file__).parents[2] / "cases" / "lexer" / "rows.txt").read_text().splitlines()
    if not line.startswith("#")
]


def shown(note: RowNote) -> str:
    words = [technique.word for technique in note.techniques] + (["tie"] if note.tied else [])
    fret = "x" if note.fret is None else note.fret
    return f"{fret}@{note.column}" + (":" + "+".join(words) if words else "")


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.split(" ")[0])
def test_row(case: str) -> None:
    row, *rest = case.split(" | ")
    row = row.rstrip()
    tokens = read_row_tokens(row, 0, len(row))
    assert [shown(note) for note in tokens.notes] == rest[0].split()
    assert [row[start:end] for start, end in tokens.unknown] == (rest[1].split() if len(rest) > 1 else [])


@pytest.mark.parametrize("row", ["|-5-|", "|:-5-:|", "||-5-||"])
def test_bar_lines_and_repeats(row: str) -> None:
    first, last = read_row_tokens(row, 0, len(row)).bars
    assert (first.start, last.end) == (0, len(row))
    assert (first.opens, last.closes) == (":" in row, ":" in row)


def test_every_mark_of_the_table_is_read() -> None:
    """A mark in the table that the lexer does not know would be an unknown symbol on the page."""
    for kind in TECHNIQUES:
        rows = [f"-5{mark}7-" for mark in kind.between]
        rows += [f"-{mark}7-" for mark in kind.before]
        rows += [f"-7{mark}-" for mark in kind.after]
        rows += [f"-{opening}7{closing}-" for opening, closing in kind.around]
        for row in rows:
            tokens = read_row_tokens(row, 0, len(row))
            assert not tokens.unknown, row
            last = tokens.notes[-1]
            assert kind.name in {t.name for t in last.techniques} | ({"tie"} if last.tied else set()), row


@pytest.mark.parametrize(
    ("digits", "frets"),
    [
        ("101210", [10, 12, 10]),
        ("2353", [2, 3, 5, 3]),
        ("121412", [12, 14, 12]),
        ("000", [0, 0, 0]),
        ("999", [9, 9, 9]),
    ],
)
def test_touching_digits_are_cut_where_frets_lie_together(digits: str, frets: list[int]) -> None:
    assert [int(digits[at : at + width]) for at, width in split_digits(digits)] == frets
