"""Count rows, read and written. The values are counted by hand; the words are common practice, no source."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tabtools.score import TimeSignature
from tabtools.source import Source
from tabtools.text.reader import read_text
from tabtools.text.rhythm.counts import count_words, read_counts, spoken
from tabtools.text.rhythm.records import BarColumns
from tabtools.text.words.count_row import count_words_in

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
        # Syllables of the writer's own part the beat evenly, whatever they are.
        ("-5-5-5-5-5-5---", " 1 t t 2 t t 3 4", FOUR, "0 1/3 2/3 1 4/3 5/3", 0),
        ("-5-5--5--5-5--5-", " 1 la li 2 la li", SIX_EIGHT, "0 1/2 1 3/2 2 5/2", 0),
        ("-5-5-5-5---5---", " 1 . . . 2 . .  .", TimeSignature(2, 4), "0 1/4 1/2 3/4 5/4", 0),
        ("-5-----5-5---5---------", " 1   t   t   2   t   t", TimeSignature(2, 4), "0 1/2 2/3 1", 0),
        # Three evenly spaced counts are thirds, the same words at a half and three quarters are not.
        ("-5-5-5-5-5-5-", " 1 & a 2 & a", TimeSignature(2, 4), "0 1/3 2/3 1 4/3 5/3", 0),
        ("-5---5-5-5---5-5-", " 1   & a 2   & a", TimeSignature(2, 4), "0 1/2 3/4 1 3/2 7/4", 0),
        ("-5---5-5---5-", " 1   a 2   a", TimeSignature(2, 4), "0 2/3 1 5/3", 0),
        ("-5-----5-5-----5-", " 1     a 2     a", TimeSignature(2, 4), "0 3/4 1 7/4", 0),
        # One word a column off makes no thirds of quarters.
        (
            "-5---5-----------5----------5----5---5--------5----",
            " 1   e           2          a    3   e        4    ",
            FOUR,
            "0 1/4 1 7/4 2 9/4 3",
            0,
        ),
        (
            "-5-------5--------5------5---5---",
            " 1       &        2      &   a   ",
            TimeSignature(2, 4),
            "0 1/2 1 3/2 7/4",
            0,
        ),
        # Where e means and, it stands in the middle.
        ("-5-5-5-5-", " 1 e 2 e", TimeSignature(2, 4), "0 1/2 1 3/2", 0),
        # Eighths counted in 4/4, and counts that go on from the bar before.
        ("-5-5-5-5-5-5-5-5-", " 1 2 3 4 5 6 7 8", FOUR, "0 1/2 1 3/2 2 5/2 3 7/2", 0),
        ("-5---5---5---5---", " 5   6   7   8", FOUR, "0 1 2 3", 0),
        # The dotted beats of a compound metre alone.
        ("-5-5-5-5-5-5-", " 1     2", SIX_EIGHT, "0 1/2 1 3/2 2 5/2", 0),
        # A row that begins with the second half of a beat, and one that stands a column beside its notes.
        ("-----5-5---", "     & 4", FOUR, "5/2 3", 0),
        ("-5-5-5-5-", "1 & 2 &", TimeSignature(2, 4), "0 1/2 1 3/2", 0),
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
    assert spoken(onsets, FOUR) == "1 1& 2e 3trip 4(6of8)"


@pytest.mark.parametrize(
    ("row", "words"),
    [
        ("1 & 2 &", "1 & 2 &"),
        ("| 1 & 2 & | 1 & (2) & |", "1 & 2 & 1 & 2 &"),
        ("Count: 1, 2, 3, 4", "1 2 3 4"),
        ("1 E & A 2 e n a", "1 e & a 2 e & a"),
        ("1e&a 2& 3+4", "1 e & a 2 & 3 + 4"),
        ("1-&-2-&", "1 & 2 &"),
        ("& 4 & 1 & 2", "& 4 & 1 & 2"),
        ("1 T l 2 T l", "1 t l 2 t l"),
        ("1 . . . 2 . . .", "1 . . . 2 . . ."),
        # Words that do not recur, numbers that leap, and numbers that do not begin with one are no counts.
        ("1 for the money 2 for the show", ""),
        ("1 p 3 p 5 p", ""),
        ("2 3 4", ""),
        ("1-2-3-4", ""),
        ("1 3 5", ""),
    ],
)
def test_which_rows_count(row: str, words: str) -> None:
    found = count_words_in(row)
    assert " ".join(word for word, _ in found) == words
    # A word stands where its row has it, whatever its case; "n" is written for "&".
    assert all(row[column].lower() in (word[0], "n") for word, column in found)


def test_numbers_of_bars_are_no_counts() -> None:
    """One number for each bar numbers the bars: the notes keep the times of their columns."""
    row = "|" + "-5-5-5-5-5-5-5-5-|" + "-5-5-5-5-----5---|" * 2
    empty = "".join("|" if character == "|" else "-" for character in row)
    rows = "\n".join(f"{name}{row if name == 'G' else empty}" for name in "eBGDAE")
    page = f"Time: 4/4\n\n   1                 2                 3\n{rows}\n"
    numbered, plain = (read_text(Source("page", text)) for text in (page, page.replace("1  ", "   ", 1)))
    onsets = [[event.onset for event in bar.events] for bar in numbered.score.parts[0].bars]
    assert onsets == [[event.onset for event in bar.events] for bar in plain.score.parts[0].bars]
