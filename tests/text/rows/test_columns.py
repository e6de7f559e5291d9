"""Rows to bars and to columns of notes that sound together."""

from __future__ import annotations

import pytest

from tabtools.doubts import Doubt
from tabtools.source import Source
from tabtools.text.page.clean import clean_lines
from tabtools.text.page.layout import find_blocks
from tabtools.text.rows.columns import RawBar, read_bars
from tabtools.text.words.telling import told


def read(*rows: str) -> tuple[list[RawBar], list[Doubt]]:
    lines = clean_lines(Source("rows", "\n".join(rows)))
    page = told(lines, find_blocks(lines)).page
    return read_bars(page.systems[0])


def struck(bar: RawBar) -> list[list[tuple[int, int | None]]]:
    """Row and fret of the notes of every column."""
    return [[(placed.row, placed.fret) for placed in column.notes] for column in bar.columns]


def test_notes_in_one_column_sound_together() -> None:
    (bar,), doubts = read("e|-5---7-|", "B|-5-----|", "G|---x---|")
    assert struck(bar) == [[(0, 5), (1, 5)], [(2, None)], [(0, 7)]]
    assert doubts == []


@pytest.mark.parametrize(
    ("upper", "lower"),
    [("-10-", "-9--"), ("-10-", "--9-"), ("-(7)", "--5-"), ("-(7)", "-5--"), ("<12>", "-12-")],
)
def test_numbers_that_overlap_sound_together(upper: str, lower: str) -> None:
    (bar,), _ = read(f"e|{upper}-|", f"B|{lower}-|", "G|-----|")
    assert len(bar.columns) == 1


def test_neighbouring_columns_do_not() -> None:
    (bar,), _ = read("e|-5---|", "B|--7--|", "G|---5-|")
    assert struck(bar) == [[(0, 5)], [(1, 7)], [(2, 5)]]


def test_bar_lines_where_most_rows_have_them() -> None:
    bars, doubts = read("e|-5-|-7-|", "B|---|---|", "G|-------|", "D|---|---|")
    assert [struck(bar) for bar in bars] == [[[(0, 5)]], [[(0, 7)]]]
    assert [(doubt.kind, doubt.values) for doubt in doubts] == [("misaligned-barline", (True, "G"))]


def test_a_shifted_bar_line_keeps_its_notes_in_their_bars() -> None:
    bars, doubts = read("e|-5----|-7---|", "B|------|-----|", "G|---7-|---5--|", "D|------|-----|")
    assert [doubt.values for doubt in doubts if doubt.kind == "misaligned-barline"] == [(False, "G")]
    assert [len(bar.columns) for bar in bars] == [2, 2]


def test_what_is_not_a_bar() -> None:
    bars, _ = read("e||--5--||", "B||-----||", "G||-----||")
    assert len(bars) == 1


def test_a_system_without_bar_lines_is_one_bar() -> None:
    bars, _ = read("e--5--7--", "B--------", "G--------")
    assert [len(bar.columns) for bar in bars] == [2]


@pytest.mark.parametrize(
    ("line", "opens", "closes"), [("|:-5-:|", True, True), ("|-5-|", False, False), ("|:-5-|", True, False)]
)
def test_repeats(line: str, opens: bool, closes: bool) -> None:
    (bar,), _ = read(*(f"{label}{line}" for label in "eBG"))
    assert (bar.opens, bar.closes) == (opens, closes)


def test_rows_that_differ_in_length_are_told_with_the_usual_length() -> None:
    _, doubts = read("e|-5---|", "B|-5--|", "G|-----|", "D|-----|")
    assert [doubt.values for doubt in doubts if doubt.kind == "uneven-lines"] == [(6, 7, "B")]
