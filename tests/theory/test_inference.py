from __future__ import annotations

from fractions import Fraction

import pytest

from tabtools.reading import read
from tabtools.score import Note, Pitch, Score, Technique
from tabtools.theory.inference import bend_of, heard, with_chords, with_key

WALK = """\
Tuning: standard

   G               D               G
e|-3-----2---3---|-2---5---2-----|-3---------------|
B|-----3-------0-|-3-------3---3-|-----0---3-------|
G|-0-------------|-2-----------2-|-0-----------0---|
D|---------------|-0-------------|-----------------|
A|---------------|---------------|-----------------|
E|-3-------------|---------------|-----------------|
"""
GRIPS = """\
Tuning: standard

   q   q   q   q     q   q   q   q
e|-3---3---3---3---|-0---0---1---1---|
B|-3---3---3---3---|-1---1---3---3---|
G|-0---0---0---0---|-0---0---2---2---|
D|-0---0---0---0---|-2---2---0---0---|
A|-2---2---2---2---|-3---3-----------|
E|-3---3---3---3---|-----------------|
"""


def _score(page: str) -> Score:
    return read("page.txt", page.encode()).score


def test_a_missing_key_is_found_and_marked() -> None:
    (part,) = with_key(_score(WALK)).parts
    assert {bar.key.name for bar in part.bars if bar.key} == {"G major"}
    (mark,) = part.bars[0].inferred[-1:]
    assert (mark.fact, mark.evidence) == ("key", "chords")
    assert 0.5 < mark.confidence < 1


def test_a_written_key_stays() -> None:
    score = _score("Key: A minor\n" + WALK)
    assert with_key(score) is not score
    assert with_key(score) == score


def test_a_weak_reading_may_be_left_out() -> None:
    score = _score(GRIPS)
    assert with_key(score, least=0.9999) == score


def test_chords_by_bar_and_half_bar() -> None:
    (part,) = with_chords(_score(GRIPS)).parts
    found = [[(h.onset, h.symbol) for h in bar.harmonies] for bar in part.bars]
    assert found == [[(Fraction(0), "G")], [(Fraction(0), "C"), (Fraction(2), "Dm")]]
    assert all(h.inferred[0].fact == "chord" for bar in part.bars for h in bar.harmonies)


def test_written_chords_stay() -> None:
    score = _score(WALK)
    assert with_chords(score) == score


@pytest.mark.parametrize(
    ("techniques", "bend", "midi"),
    [
        ((), Fraction(0), 67),
        ((Technique("bend", Fraction(2)),), Fraction(2), 69),
        ((Technique("bend", Fraction(1, 2)),), Fraction(1, 2), 67),
        ((Technique("bend"),), None, None),
        ((Technique("dead"),), Fraction(0), None),
        ((Technique("harmonic"),), Fraction(0), None),
    ],
)
def test_what_is_heard(techniques: tuple[Technique, ...], bend: Fraction | None, midi: int | None) -> None:
    note = Note(1, 3, Pitch("G", 0, 4), techniques)
    assert bend_of(note) == bend
    assert heard(note) == midi
