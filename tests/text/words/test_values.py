"""Lengths in words: what is written reads back."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tabtools.text.words.values import DURATIONS, duration_word, read_duration


@pytest.mark.parametrize(
    ("word", "length", "rest"),
    [
        ("w", Fraction(4), False),
        ("q.", Fraction(3, 2), False),
        ("e..", Fraction(7, 8), False),
        ("hr", Fraction(2), True),
        ("q.r", Fraction(3, 2), True),
        ("r", Fraction(1), True),
    ],
)
def test_duration_words(word: str, length: Fraction, rest: bool) -> None:
    assert read_duration(word) == (length, rest)


@pytest.mark.parametrize("word", ["", "x", "qq", "q...", "Q", "rq", "1"])
def test_other_words_are_no_durations(word: str) -> None:
    assert read_duration(word) is None


@pytest.mark.parametrize("length", DURATIONS)
@pytest.mark.parametrize("rest", [False, True])
def test_every_duration_reads_back(length: Fraction, rest: bool) -> None:
    word = duration_word(length, rest=rest)
    assert word is not None
    assert read_duration(word) == (length, rest)


def test_a_length_that_no_letter_says() -> None:
    assert duration_word(Fraction(1, 3)) is None
