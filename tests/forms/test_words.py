from __future__ import annotations

import pytest

from tabtools.forms.naming import name_forms
from tabtools.forms.words import form_words, ordinal, place_words, segment_words
from tests.forms.cases import load, part_of

_CASES = {case["id"]: case for case in load("shape-cases.json")}


@pytest.mark.parametrize(
    ("number", "word"),
    [(1, "1st"), (2, "2nd"), (3, "3rd"), (4, "4th"), (11, "11th"), (12, "12th"), (13, "13th"), (21, "21st")],
)
def test_ordinals(number: int, word: str) -> None:
    assert ordinal(number) == word


def test_forms_and_places() -> None:
    assert form_words("E", "maj") == "E form"
    assert form_words("A", "m7b5") == "Am7b5 form"
    assert (place_words(0), place_words(-2), place_words(3)) == (
        "open position",
        "open position",
        "3rd position",
    )


@pytest.mark.parametrize(
    ("case", "words"),
    [
        ("SC-002", "E form, 3rd position"),
        ("SC-024", "Em form, 5th position"),
        ("SC-023", "D form, open position"),
        ("SC-082", "A minor pentatonic, Em form, 5th position"),
        ("SC-084", "C major pentatonic, D form, 10th position"),
    ],
)
def test_segments(case: str, words: str) -> None:
    assert segment_words(name_forms(part_of(_CASES[case]))[0]) == words
