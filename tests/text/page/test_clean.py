"""What a page's journey did to it is undone, and every character still knows its place."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tabtools.source import Source
from tabtools.text.page.clean import clean_lines


def texts(text: str) -> list[str]:
    return [line.text for line in clean_lines(Source("page", text))]


@pytest.mark.parametrize(
    ("dirty", "clean"),
    [
        ("e│–5–—−│", "e|-5---|"),
        ("Am\u00a0\u00a0C", "Am  C"),
        ("e|-５-｜", "e|-5-|"),
        ("\te|-5-|", "        e|-5-|"),
        ("e\t|-5-|", "e       |-5-|"),
        ("e|-\x1b[1;33m12\x1b[0m-|", "e|-12-|"),
        ("e|\u200b-5-|", "e|-5-|"),
    ],
)
def test_clean(dirty: str, clean: str) -> None:
    assert texts(dirty) == [clean]


def test_line_numbers_go_when_every_line_counts_up() -> None:
    assert texts(" 9  e|-5-|\n10  B|---|\n11\n12  G|---|\n") == ["e|-5-|", "B|---|", "", "G|---|", ""]


@pytest.mark.parametrize("text", ["1  a\n2  b\n4  c\n5  d", "1  a\n2  b\n3  c", "1  a\nb\n3  c\n4  d"])
def test_other_numbers_stay(text: str) -> None:
    assert texts(text) == text.split("\n")


@given(st.text(st.sampled_from("e|-5\t\x1b[0m\u200b \n\r1"), max_size=80))
def test_columns_lead_back_to_the_source(text: str) -> None:
    """Every character that survived is the one that stands at its offset, look-alikes aside."""
    source = Source("page", text)
    for line in clean_lines(source):
        offsets = [line.at(column) for column in range(len(line.text) + 1)]
        assert offsets == sorted(offsets)
        for column, character in enumerate(line.text):
            original = text[line.at(column)]
            assert original == character or (original == "\t" and character == " ")
