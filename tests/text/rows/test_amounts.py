"""Bend sizes in words: what is written reads back, over the strings and on them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tabtools.text.rows.amounts import BEND_SIZES, amount_behind, bend_word
from tabtools.text.words.telling import read_above


@pytest.mark.parametrize("size", sorted({size for size in BEND_SIZES.values() if size.denominator > 1}))
def test_every_bend_between_two_frets_reads_back(size: Fraction) -> None:
    word = bend_word(size)
    assert word is not None
    assert BEND_SIZES[word] == size
    assert read_above(f"   {word}").kind == "amounts"


def test_a_fret_says_whole_semitones() -> None:
    assert bend_word(Fraction(2)) is None


@pytest.mark.parametrize("word", BEND_SIZES)
def test_every_size_is_read_behind_a_bend(word: str) -> None:
    row = f"-7b({word})-"
    assert amount_behind(row, 3, len(row), 7) == (BEND_SIZES[word], len(row) - 1)


@pytest.mark.parametrize(
    ("row", "fret"), [("-7b9-", 7), ("-7b1-", 7), ("-0b1/2-", 0), ("-1b(2)-", 1), ("-7b-", 7)]
)
def test_a_fret_is_no_amount(row: str, fret: int) -> None:
    assert amount_behind(row, 3, len(row), fret) is None
