from __future__ import annotations

from tabtools.forms.annotate import form_words, with_form_words
from tabtools.reading import read
from tabtools.score import Score

_PAGE = b"""\
Tuning: standard

   {}
   G                 C
e|---------3-------|---------8-------|
B|-------3---3-----|-------8---8-----|
G|-----4-------4---|-----9-------9---|
D|---5-----------5-|--10----------10-|
A|-----------------|-----------------|
E|-3---------------|-8---------------|
"""


def _score(words: bytes) -> Score:
    return read("page.txt", _PAGE.replace(b"{}", words)).score


def _texts(score: Score) -> list[list[str]]:
    return [[words.text for words in bar.words] for bar in score.parts[0].bars]


def test_every_form_is_named_where_it_begins() -> None:
    score = _score(b"slowly")
    expected = [["slowly", "E form, 3rd position"], ["E form, 8th position"]]
    assert _texts(with_form_words(score)) == expected
    assert [text for _, text in form_words(score)] == ["E form, 3rd position", "E form, 8th position"]


def test_the_authors_own_label_stays_alone() -> None:
    score = _score(b"E form, third position")
    assert _texts(with_form_words(score)) == [["E form, third position"], ["E form, 8th position"]]


def test_the_notes_stay_as_they_are() -> None:
    score = _score(b"slowly")
    named = with_form_words(score)
    assert [bar.events for bar in named.parts[0].bars] == [bar.events for bar in score.parts[0].bars]
    assert _texts(with_form_words(named)) == _texts(named)
