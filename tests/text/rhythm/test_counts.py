"""Count rows, read and written. The values are counted by hand; the words are common practice, no source."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tabtools.score import TimeSignature
from tabtools.text.rhythm.counts import count_words, read_counts, spoken
from tabtools.text.rhythm.records import BarColumns

FOUR, THREE, SIX_EIGHT = TimeSignature(4, 4), TimeSignature(3, 4), TimeSignature(6, 8)
METRES = [FOUR, THREE, SIX_EIGHT, TimeSignature(12, 8), TimeSignature(5, 4), TimeSignature(7, 8)]


def bar(row: str, counts: str, time: TimeSignature = FOUR) -> BarColumns:
    words: list[tuple[int, str]] = []
    at = 0
    for word in counts.split():
        at = counts.index(word, at)
        words.append((at, word))
        at += len(word)
    onsets = tuple(column for column, character in enumerate(row) if character.isdigit())
    return BarColumns(onsets, len(row), time, counts=tuple(words))


@pytest.mark.parametrize(
    ("row", "counts", "time", "onsets", "apart"),
    [
        ("-5-5----5---5----", " 1 trip let 2   3", FOUR, "0 1/3 2/3 1", 0),
        ("-5---5-5-5---", " 1 2 3 4 5 6", SIX_EIGHT, "0 1 3/2 2", 0),
        # A compound metre counted by its dotted beats.
        ("-5-5-5-5---5-", " 1 & a 2 & a ", SIX_EIGHT, "0 1/2 1 3/2 5/2", 0),
        # Quarters counted in 2/2.
        ("-5---5---5---5---", " 1   2   3   4", TimeSignature(2, 2), "0 1 2 3", 0),
        # A note that has no count lies between two.
        ("-5-5-5---5---5---", " 1   2   3   4", FOUR, "0 1/2 1 2 3", 0),
        # One count for each note, one of them two columns off: the count is kept, and told.
        ("-5-5-5-----5-----", " 1 & 2   4", FOUR, "0 1/2 1 3", 1),
        # All the beats are counted: the last note is after the last of them.
        ("-5---5---5-----5-", " 1   2   3   4", FOUR, "0 1 2 7/2", 0),
    ],
)
def test_read(row: str, counts: str, time: TimeSignature, onsets: str, apart: int) -> None:
    found = read_counts(bar(row, counts, time))
    assert found is not None
    assert " ".join(map(str, found.onsets)) == onsets
    assert len(found.apart) == apart


@pytest.mark.parametrize("counts", [" 1   3   2   ", " 1   2   3 4 5", "         1   2   3"])
def test_a_row_that_does_not_count_the_bar(counts: str) -> None:
    """It runs backwards, has a beat too many, or begins after the notes."""
    assert read_counts(bar("-5---5---5---5---", counts)) is None


@pytest.mark.parametrize(
    ("onsets", "time", "words"),
    [
        ("0 1 2 3", FOUR, "1 2 3 4"),
        ("0 1/4 3/4 5/2", FOUR, "1 e a 2 3 & 4"),
        ("1/3 2/3", THREE, "1 trip let 2 3"),
        ("0 3/2 7/4", SIX_EIGHT, "1 2 3 4 & 5 6"),
        # Thirty-seconds have no word: those around them have.
        ("0 1/8", FOUR, "1 e 2 3 4"),
        ("", THREE, "1 2 3"),
    ],
)
def test_words(onsets: str, time: TimeSignature, words: str) -> None:
    assert " ".join(w for _, w in count_words(map(Fraction, onsets.split()), time)) == words


@given(st.sampled_from(METRES), st.data())
def test_what_is_written_reads_back(time: TimeSignature, data: st.DataObject) -> None:
    places = [Fraction(n, d) for d in (8, 6) for n in range(int(time.length * d))]
    onsets = sorted(data.draw(st.sets(st.sampled_from(places), min_size=1, max_size=12)))
    scale, width = 48, int(time.length * 48)
    words = tuple((int(when * scale), word) for when, word in count_words(onsets, time))
    found = read_counts(BarColumns(tuple(int(onset * scale) for onset in onsets), width, time, counts=words))
    assert found is not None
    assert list(found.onsets) == onsets
    assert not found.apart


def test_onsets_as_a_player_names_them() -> None:
    onsets = map(Fraction, ["0", "1/2", "5/4", "7/3", "29/8"])
    assert spoken(onsets, FOUR) == "1 1& 2e 3trip 4+5/8"
