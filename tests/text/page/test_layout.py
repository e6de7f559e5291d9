"""Which lines are string rows, and how they make systems."""

from __future__ import annotations

import pytest

from tabtools.source import Source, UnreadableError
from tabtools.text.page.clean import clean_lines
from tabtools.text.page.layout import Page, find_blocks
from tabtools.text.page.string_row import read_row
from tabtools.text.words.telling import told


def page(text: str) -> Page:
    lines = clean_lines(Source("page", text))
    return told(lines, find_blocks(lines)).page


def labels(text: str) -> list[str]:
    return ["".join(row.label or "." for row in system.rows) for system in page(text).systems]


SIX = "e|-5-|\nB|---|\nG|---|\nD|---|\nA|---|\nE|---|\n"


@pytest.mark.parametrize(
    ("line", "body"),
    [
        ("e|--5--|", "|--5--|"),
        ("e --5--|", "--5--|"),
        ("e---5--", "---5--"),
        (" G|--5--|", "|--5--|"),
        ("Eb|--5--|", "|--5--|"),
        ("1|--5--|", "|--5--|"),
        ("6)|--5--|", "|--5--|"),
        ("|--5--|", "|--5--|"),
        ("e|--5--|  <- ring finger", "|--5--|"),
        ("e|--5--|x2", "|--5--|"),
        ("e|--5--|  (x2)", "|--5--|"),
        ("d||--0--|", "||--0--|"),
    ],
)
def test_string_row(line: str, body: str) -> None:
    row = read_row(clean_lines(Source("row", line))[0])
    assert row is not None
    assert row.body == body


@pytest.mark.parametrize(
    "line",
    [
        "",
        "- a remark",
        "P.M.------|",
        "let ring----|",
        "| day | bpm |",
        "Am7  D7",
        "1 & 2 & 3 &",
        "h = hammer on",
    ],
)
def test_other_lines_are_no_rows(line: str) -> None:
    assert read_row(clean_lines(Source("row", line))[0]) is None


def test_systems_and_prose() -> None:
    found = page("A lick\n\n" + SIX + "\nplay it slowly\n\n" + SIX)
    assert [len(system.rows) for system in found.systems] == [6, 6]
    assert [line.text for line in found.prose] == ["A lick", "play it slowly"]


def test_systems_without_a_blank_line_part_where_labels_begin_anew() -> None:
    assert labels(SIX + SIX) == ["eBGDAE", "eBGDAE"]


def test_a_divider_is_no_string() -> None:
    assert labels("--------------\n" + SIX + "--------------\n") == ["eBGDAE"]


def test_a_bare_row_of_hyphens_inside_is_a_string() -> None:
    assert labels("e|-5---|\n-------\nG|-----|\n") == ["e.G"]


def test_lines_between_two_systems_go_where_they_belong() -> None:
    found = page(SIX + "  1 & 2\n  Am\n" + SIX)
    first, second = found.systems
    assert [line.text.strip() for line in first.below] == ["1 & 2"]
    assert [line.text.strip() for line in second.above] == ["Am"]


@pytest.mark.parametrize("count", range(3, 12))
def test_any_number_of_strings(count: int) -> None:
    found = page("|--5--|\n" + "|-----|\n" * (count - 1))
    assert [len(system.rows) for system in found.systems] == [count]


def test_more_rows_than_any_instrument_has_strings_are_refused() -> None:
    with pytest.raises(UnreadableError, match="13 string rows") as raised:
        page("A lick\n" + "".join(f"{number}|--5--|\n" for number in range(1, 14)))
    assert raised.value.line == 2


def test_one_damaged_label_does_not_join_two_systems() -> None:
    assert labels(SIX + SIX.replace("G|", "C|")) == ["eBGDAE", "eBCDAE"]


def test_twelve_bare_rows_are_two_systems_and_twelve_labelled_ones_are_not() -> None:
    assert [len(system.rows) for system in page("|--5--|\n" * 12).systems] == [6, 6]
    twelve = "".join(f"{number}|--5--|\n" for number in range(1, 13))
    assert [len(system.rows) for system in page(twelve).systems] == [12]
