"""What the model of the writer gives beyond single bars. Rows are written as people space them."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tabtools.score import TimeSignature
from tabtools.text.rhythm import EVEN, UNCLEAR, BarColumns, Extent, Timing, read_rhythm

FOUR, THREE, SIX_EIGHT = TimeSignature(4, 4), TimeSignature(3, 4), TimeSignature(6, 8)


def bars(*rows: str, time: TimeSignature = FOUR, assumed: bool = False) -> list[BarColumns]:
    """Bars from rows between their bar lines; neighbouring digits are one number."""
    made = []
    for row in rows:
        places = [at for at, c in enumerate(row) if c.isdigit() and not (at and row[at - 1].isdigit())]
        sizes = [2 if row[at + 1 : at + 2].isdigit() else 1 for at in places]
        extents = tuple(Extent(size, size) for size in sizes)
        made.append(BarColumns(tuple(places), len(row), time, extents=extents, assumed=assumed))
    return made


def onsets(timing: Timing) -> str:
    return " ".join(map(str, timing.onsets))


def sure(timings: Sequence[Timing]) -> bool:
    return all(t.inferred is not None and t.inferred.confidence >= UNCLEAR for t in timings)


PLAIN = ("-5---5---5-5-5---", "-5-5-5-5-5---5---", "-5---5-5-5-------")


def test_wide_numbers_that_push_are_taken_back() -> None:
    timings = read_rhythm(bars("-12-10-5-5-5-5---5-", "-5---5---5---12---", *PLAIN))
    assert onsets(timings[0]) == "0 1/2 1 3/2 2 5/2 7/2"
    assert onsets(timings[1]) == "0 1 2 3"


def test_wide_numbers_that_end_at_their_columns() -> None:
    """Two columns an eighth; ``12`` reaches a column to the left of where its step is."""
    rows = ("-5--12-5-5-----5-", "12---5-5-5--12-5-", "-5-5-5---5-5-5-5-", "-5---5---5-5-5---")
    timings = read_rhythm(bars(*rows * 2))
    assert [onsets(timing) for timing in timings[:2]] == ["0 1 3/2 2 7/2", "0 1 3/2 2 3 7/2"]
    assert sure(timings)


def test_bars_filled_up_to_the_width_of_one_with_wide_numbers() -> None:
    rows = ("-12-10-5-5-5-5---5-", "-5---5---5---5-----", "-12---5---5-5-5----", "-5-----5-5---5-----")
    timings = read_rhythm(bars(*rows))
    assert [onsets(timing) for timing in timings] == [
        "0 1/2 1 3/2 2 5/2 7/2",
        "0 1 2 3",
        "0 1 2 5/2 3",
        "0 3/2 2 3",
    ]
    assert sure(timings)


def test_bars_that_may_be_filled_up_behind_quarters_say_so() -> None:
    full = "-5-5-5-5-5-5-5-5-"
    timings = read_rhythm(bars(*["-5-5-5-5---------", full, "-5---5-5-5-5-5---"] * 4))
    doubted = [timing for timing in timings if not sure([timing])]
    assert [onsets(timing) for timing in doubted] == ["0 1/2 1 3/2"] * 4
    assert {" ".join(map(str, timing.other)) for timing in doubted} == {"0 1 2 3"}


def test_a_slip_of_one_column_is_forgiven() -> None:
    full = "-5---5---5---5---5---5---5---5---"
    timings = read_rhythm(
        bars(full, full, "-5---5----5--5---5---5---5---5---", "-5-------5---5---5-------5-------")
    )
    assert onsets(timings[2]) == "0 1/2 1 3/2 2 5/2 3 7/2"


def test_one_hyphen_everywhere_is_even_notes_by_default() -> None:
    timings = read_rhythm(bars("-5-5-5-", "-5-5-5-5-5-5-", "-5-5-"))
    assert [timing.inferred for timing in timings] == [EVEN] * 3


WALTZ = ("-5---5---5---", "-5---5-5-5-5-", "-5-----5-5---", "-5-5-5-5-5---", "-5-------5-5-", "-5---5-5-5---")
MARCH = ("-5---5---5---5---", *PLAIN, "-5-------5---5---", "-5---5-5-5---5-5-")


@pytest.mark.parametrize(("rows", "time"), [(WALTZ, "3/4"), (MARCH, "4/4")])
def test_no_metre_written(rows: Sequence[str], time: str) -> None:
    timings = read_rhythm(bars(*rows, assumed=True))
    assert {timing.time.name for timing in timings} == {time}


def test_the_last_bar_completes_the_pickup() -> None:
    timings = read_rhythm(bars("-5---", *PLAIN, "-5---5---5---"))
    assert [timing.pickup for timing in timings] == [True, False, False, False, True]
    assert onsets(timings[-1]) == "0 1 2"


def test_a_pickup_and_its_rest_spaced_by_steps_of_their_own() -> None:
    """Sixteenths of two columns in the whole bars and in the pick-up, eighths of two in the last bar."""
    full = "-5-5-5-5-5---5-5-5-5-5---5-----5-"
    timings = read_rhythm(bars("-5-5-", full, full, full, "-5-5-5-5-5-----"))
    assert [onsets(timings[0]), onsets(timings[-1])] == ["0 1/4", "0 1/2 1 3/2 2"]
    assert [timing.pickup for timing in timings] == [True, False, False, False, True]
    assert sure([timings[0], timings[-1]])


def test_swing_of_a_whole_page() -> None:
    timings = read_rhythm(bars(*["-5---5-5---5-5---5-5-----", "-5-----5---5-5-----5---5-"] * 4))
    assert onsets(timings[0]) == "0 2/3 1 5/3 2 8/3 3"
    assert sure(timings)


@settings(deadline=None)
@given(
    st.lists(st.text("-----5", min_size=1, max_size=40), min_size=1, max_size=12),
    st.sampled_from([FOUR, THREE, SIX_EIGHT, TimeSignature(5, 4), TimeSignature(7, 8), TimeSignature(12, 8)]),
)
def test_bars_of_any_columns_add_up(rows: list[str], time: TimeSignature) -> None:
    for timing in read_rhythm(bars(*rows, time=time)):
        total = sum(timing.durations) + sum((lasts for _, lasts in timing.rests), Fraction(0))
        assert total == time.length or (timing.pickup and total < time.length)
        assert list(timing.onsets) == sorted(set(timing.onsets))


def test_a_bar_that_keeps_to_its_first_quarter_may_be_filled_up() -> None:
    """Each bar has a grid of its own, and the last is filled up to the width of the others: three quarter
    notes, which without that would be two sixteenths and a long note."""
    *others, last = read_rhythm(bars(*[ACROSS] * 6, "-5-5-5" + "-" * 27))
    assert sure(others)
    assert not sure([last])
    assert " ".join(map(str, last.other)) == "0 1 2"


ACROSS = "-5-----5-5---5---5-5-5---5---5---"
