"""Columns to time. The rows are written as a person spaces them; the values are counted by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tabtools.score import TimeSignature
from tabtools.source import Source
from tabtools.text.reader import read_text
from tabtools.text.rhythm import EVEN, UNCLEAR, BarColumns, Timing, read_rhythm
from tabtools.text.rhythm.records import MOST_ONSETS
from tabtools.text.rhythm.settling import levelled

ZERO, ONE = Fraction(0), Fraction(1)
FOUR, THREE, SIX_EIGHT = TimeSignature(4, 4), TimeSignature(3, 4), TimeSignature(6, 8)


def bar(row: str, time: TimeSignature = FOUR, letters: str = "", counts: str = "") -> BarColumns:
    """A bar from one row between its bar lines; every digit is an onset of its own."""

    def words(line: str) -> tuple[tuple[int, str], ...]:
        found, at = [], 0
        for word in line.split():
            at = line.index(word, at)
            found.append((at, word))
            at += len(word)
        return tuple(found)

    onsets = tuple(column for column, character in enumerate(row) if character.isdigit())
    return BarColumns(onsets, len(row), time, words(letters), words(counts))


def onsets(timing: Timing) -> str:
    return " ".join(str(onset) for onset in timing.onsets)


def test_one_gap_is_no_doubt_where_only_the_metre_changes() -> None:
    """Four quarters in a bar and three in the next look like a page without proportion, and are none."""
    timings = read_rhythm([bar("-5---5---5---5---"), bar("-5---5---5---", THREE), bar("-5---5---5---5---")])
    assert [onsets(timing) for timing in timings] == ["0 1 2 3", "0 1 2", "0 1 2 3"]
    assert all(timing.inferred and timing.inferred.confidence > UNCLEAR for timing in timings)


@pytest.mark.parametrize(
    ("row", "time", "want"),
    [
        ("-5--5--5--5--5--5--5--5--", FOUR, "0 1/2 1 3/2 2 5/2 3 7/2"),
        ("5---5---5---5---", FOUR, "0 1 2 3"),
        ("-5---5---5---5---", FOUR, "0 1 2 3"),
        ("--5---5---5---5---", FOUR, "0 1 2 3"),
        ("-5-----5-5---5---", FOUR, "0 3/2 2 3"),
        ("-5--5--5--5--5--5--", THREE, "0 1/2 1 3/2 2 5/2"),
        ("-5--5--5--5--5--5--", SIX_EIGHT, "0 1/2 1 3/2 2 5/2"),
        ("-5--5--5--5--5--5--5--5--5--5--5--5--", FOUR, "0 1/3 2/3 1 4/3 5/3 2 7/3 8/3 3 10/3 11/3"),
        ("-----5---5---5---", FOUR, "1 2 3"),
    ],
)
def test_columns(row: str, time: TimeSignature, want: str) -> None:
    timing = read_rhythm([bar(row, time)])[0]
    assert onsets(timing) == want
    assert timing.inferred is not None
    assert timing.inferred.evidence == "columns"


@pytest.mark.parametrize(
    ("row", "time", "want"),
    [
        ("-5-5-5-5-5-5-5-5-", FOUR, "0 1/2 1 3/2 2 5/2 3 7/2"),
        ("-5-5-5-5-5-5-", THREE, "0 1/2 1 3/2 2 5/2"),
        ("-5-5-5-5-5-5-", SIX_EIGHT, "0 1/2 1 3/2 2 5/2"),
    ],
)
def test_a_page_of_one_hyphen_throughout_with_as_many_notes_as_eighths_fill(
    row: str, time: TimeSignature, want: str
) -> None:
    timings = read_rhythm([bar(row, time)] * 4)
    assert {onsets(timing) for timing in timings} == {want}
    assert {timing.inferred.confidence for timing in timings if timing.inferred} == {UNCLEAR}


@pytest.mark.parametrize("bars", [1, 3])
def test_a_few_such_bars_are_too_short_to_tell(bars: int) -> None:
    timings = read_rhythm([bar("-5-5-5-5-5-5-5-5-")] * bars)
    assert {onsets(timing) for timing in timings} == {"0 1/2 1 3/2 2 5/2 3 7/2"}
    assert [timing.inferred for timing in timings] == [EVEN] * bars


def test_a_late_start_is_a_rest() -> None:
    assert read_rhythm([bar("-----5---5---5---")])[0].rests == ((ZERO, ONE),)


@pytest.mark.parametrize("row", ["-5-", "-5----5-5-----5------5---", "5-5--5---5----5-----5------5"])
def test_columns_that_fit_no_grid_say_so(row: str) -> None:
    timing = read_rhythm([bar("-5-5-5-5-5-"), bar(row), bar("-5-5-"), bar("-5-5-5-5-5-5-5-")])[1]
    assert timing.inferred is not None
    assert timing.inferred.confidence < UNCLEAR


def test_letters_are_exact() -> None:
    timing = read_rhythm([bar("-5-5-5-5--", letters=" q e. s h")])[0]
    assert timing.durations == (ONE, Fraction(3, 4), Fraction(1, 4), Fraction(2))
    assert timing.inferred is None


def test_a_letter_over_nothing_is_a_rest() -> None:
    timing = read_rhythm([bar("-5---5---5---", letters=" q q q   q   ")])[0]
    assert onsets(timing) == "0 2 3"
    assert timing.rests == ((ONE, ONE),)


def test_letters_that_do_not_add_up_stay_as_written() -> None:
    timing = read_rhythm([bar("-5--5--", letters=" w  q")])[0]
    assert timing.onsets[-1] + timing.durations[-1] == 5


def test_letters_hold_until_the_next_one() -> None:
    timings = read_rhythm(
        [bar("-5-5-5-5-5-", letters=" q e   q"), bar("-5-5-5-5-"), bar("-5-5-5-", letters="     h")]
    )
    assert [onsets(timing) for timing in timings] == ["0 1 3/2 2 3", "0 1 2 3", "0 1 2"]
    assert [timing.inferred for timing in timings] == [None] * 3


def test_letters_that_leave_out_a_note_and_fill_no_bar_are_not_taken_for_exact() -> None:
    timing = read_rhythm([bar("-5---5---5---5---", letters=" e   e")])[0]
    assert onsets(timing) == "0 1 2 3"
    assert timing.inferred is not None
    assert timing.inferred.evidence == "columns"


def test_a_short_first_bar_by_its_letters_is_a_pickup_and_a_later_one_is_not() -> None:
    short, full = bar("-5---", letters=" q"), bar("-5---5---", letters=" h   h")
    assert [timing.pickup for timing in read_rhythm([short, full, short])] == [True, False, False]
    assert not read_rhythm([short])[0].pickup


@pytest.mark.parametrize(
    ("row", "counts", "want"),
    [
        ("-5---5---5-5-5---", " 1 & 2 & 3 & 4 & ", "0 1 2 5/2 3"),
        ("-5-5-----5-----5--", " 1 e & a 2 e & a 3", "0 1/4 1 7/4"),
        ("-5--5-------5----5---", " 1  & 2     & 3  & 4", "0 1/2 3/2 5/2"),
    ],
)
def test_counts_are_exact(row: str, counts: str, want: str) -> None:
    timing = read_rhythm([bar(row, counts=counts)])[0]
    assert onsets(timing) == want
    assert timing.inferred is None


def test_a_note_one_column_off_takes_the_free_count_beside_it() -> None:
    assert onsets(read_rhythm([bar("-5--5---5---5---", counts=" 1   2   3   4  ")])[0]) == "0 1 2 3"


def test_one_habit_serves_the_whole_page() -> None:
    """Two lead hyphens, as the full bars show, also in the bar that could be read otherwise."""
    full = bar("--5-5-5-5-5-5-5-5-")
    timings = read_rhythm([full, full, bar("--5-------5-------"), full])
    assert onsets(timings[2]) == "0 2"


def test_a_narrow_first_bar_is_a_pickup() -> None:
    full = bar("-5---5---5---5---")
    timings = read_rhythm([bar("-5---"), full, full, full])
    assert timings[0].pickup
    assert timings[0].durations == (ONE,)


def test_gaps_all_alike_in_bars_of_different_width_are_no_evidence() -> None:
    timings = read_rhythm([bar("-5-5-5-5-"), bar("-5-5-5-5-5-5-5-5-")])
    assert all(timing.inferred and timing.inferred.confidence <= 0.6 for timing in timings)


@pytest.mark.parametrize("time", [FOUR, THREE, SIX_EIGHT, TimeSignature(5, 4), TimeSignature(7, 8)])
def test_every_bar_adds_up(time: TimeSignature) -> None:
    for row in ("-5-5-5-", "-5--", "5", "-----", "-5----5-5-5--5-5-5-5-5----"):
        timing = read_rhythm([bar(row, time)])[0]
        total = sum(timing.durations) + sum(duration for _, duration in timing.rests)
        assert total == time.length


def flagged(*rows: str, time: TimeSignature = FOUR) -> list[bool]:
    timings = read_rhythm([bar(row, time) for row in rows])
    return [timing.inferred is not None and timing.inferred.confidence < UNCLEAR for timing in timings]


@pytest.mark.parametrize(
    "row",
    [
        "-5---7---5-------",  # the last note is longer than the gap before it: columns do tell
        "-5---7---5---7---",
        "-5--7--5--7--8--------",
        "-5-----------7-----------",
    ],
)
@pytest.mark.parametrize("times", [1, 2, 4])
def test_even_notes_are_no_doubt_in_one_bar_or_many(row: str, times: int) -> None:
    assert flagged(*[row] * times) == [False] * times


@pytest.mark.parametrize(
    "row", ["-5-7-5-7-", "-5-7-", "-5-7-5-7-5-", "-5-7-5-7-5-7-", "-5-7-5-7-5-7-5-7-5-7-5-7-"]
)
@pytest.mark.parametrize("times", [1, 2, 4])
def test_one_hyphen_throughout_is_no_evidence_although_all_bars_are_alike(row: str, times: int) -> None:
    assert flagged(*[row] * times) == [True] * times


def test_a_bracket_makes_three_notes_a_triplet_whatever_their_columns() -> None:
    """Two columns an eighth; three notes crowd into the second beat."""
    rows = [bar("-5---5-5-5---5-5-"), bar("-5---5-5-5---5---"), bar("-5---5---5-5-5---")]
    bracket = rows[0]._replace(onsets=(1, 5, 6, 8, 9, 13), brackets=((5, 8),))
    timings = read_rhythm([*rows, bracket, *rows])
    assert onsets(timings[3]) == "0 1 4/3 5/3 2 3"


def test_letters_under_a_bracket_are_a_third_shorter() -> None:
    letters = bar("-5--5--5--5---5---", letters=" e  e  e  q   h")
    timing = read_rhythm([letters._replace(brackets=((1, 7),))])[0]
    assert timing.durations == (Fraction(1, 3), Fraction(1, 3), Fraction(1, 3), ONE, Fraction(2))


@pytest.mark.parametrize(
    ("letters", "want", "total"),
    [
        (" q e q   q   q  ", "0 2/3 1 2 3", 4),  # a quarter and an eighth are three eighths
        (" e e q   q   q  ", "0 1/2 1 2 3", 4),  # two eighths are no triplet
        (" q q q   q   q  ", "0 1 2 3 4", 5),  # nor are two quarters: the bar is too full, and says so
    ],
)
def test_letters_that_make_no_triplet_are_as_long_as_they_say(letters: str, want: str, total: int) -> None:
    row = bar("-5-5-5---5---5---", FOUR, letters)
    timing = read_rhythm([row._replace(brackets=((1, 4),))])[0]
    assert onsets(timing) == want
    assert sum(timing.durations) == total


@pytest.mark.parametrize("row", ["5-5-5-" * 8, "5-5-5---" * 8, "555-" * 8])
def test_groups_of_three_for_a_whole_bar_are_thirds_and_doubtful(row: str) -> None:
    timing = read_rhythm([bar(row)])[0]
    assert timing.onsets == tuple(Fraction(number, 6) for number in range(24))
    assert timing.inferred is not None
    assert timing.inferred.confidence < UNCLEAR


@pytest.mark.parametrize(
    ("ticks", "level"),
    [
        ((0, 6, 15, 18), (0, 6, 12, 18)),
        ((0, 9, 12, 18), (0, 6, 12, 18)),
        # Two are meant, thirds are none, and where both sides are taken it can't be a slip.
        ((0, 3, 6, 9), ()),
        ((0, 8, 12), ()),
        ((0, 6, 9, 12), ()),
    ],
)
def test_a_lone_thirty_second_may_be_a_slip(ticks: tuple[int, ...], level: tuple[int, ...]) -> None:
    assert levelled(ticks) == level


def test_a_bracket_right_over_the_strings_is_no_string() -> None:
    """Two columns an eighth; three quarters in the time of two stand too close together."""
    page = """Time: 4/4

                      |-3-|
e|-5---5-5-5---5-5-|-5-5-5---5---5---|-5---5---5-5-5---|
"""
    page += "".join(f"{name}|-----------------|-----------------|-----------------|\n" for name in "BGDAE")
    (part,) = read_text(Source("page.txt", page)).score.parts
    assert len(part.instrument.tuning) == 6
    assert [str(event.onset) for event in part.bars[1].events] == ["0", "2/3", "4/3", "2", "3"]


def test_a_bar_of_more_notes_than_any_has_is_even_and_unsure() -> None:
    (timing,) = read_rhythm([bar("5-7-" * MOST_ONSETS)])
    assert timing.inferred == EVEN
    assert len(timing.onsets) == 2 * MOST_ONSETS
