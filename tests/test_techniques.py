"""The one table of techniques."""

from __future__ import annotations

from fractions import Fraction

from tabtools.score import Technique
from tabtools.techniques import BY_NAME, TECHNIQUES, ordered


def test_names_are_the_words_of_the_score_dump() -> None:
    """The words that scripts rely on; a name that goes breaks them."""
    words = (
        "hammer pull slide slide-in slide-out tap grace bend bend-release prebend prebend-release trill "
        "vibrato tremolo whammy swell harmonic artificial pinch dead ghost tie palm-mute let-ring rake slap "
        "pop"
    )
    assert sorted(BY_NAME) == sorted(words.split())


def test_only_bends_and_trills_have_a_size() -> None:
    sized = {kind.name: kind.value for kind in TECHNIQUES if kind.value}
    assert sized.pop("trill") == "fret"
    assert set(sized) == {"bend", "bend-release", "prebend", "prebend-release"}
    assert set(sized.values()) == {"semitones"}


def test_a_mark_means_one_thing_in_one_place() -> None:
    for place in ("between", "before", "after", "around"):
        marks = [mark for kind in TECHNIQUES for mark in getattr(kind, place)]
        assert len(marks) == len(set(marks)), place


def test_ordered_sorts_by_the_table() -> None:
    mixed = (Technique("vibrato"), Technique("bend", Fraction(2)), Technique("hammer"))
    assert [technique.name for technique in ordered(mixed)] == ["hammer", "bend", "vibrato"]
