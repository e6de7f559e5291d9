"""Writers whose spacing is not in plain proportion. Rows are written as such people space them."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tabtools.score import TimeSignature
from tabtools.source import Source
from tabtools.text.reader import read_text
from tabtools.text.rhythm import EVEN, read_rhythm
from tabtools.text.rhythm.extra import odd_widths, variants
from tests.text.rhythm.test_model import bars, onsets, sure


def grown(*values: int, least: int = 3, doubling: int = 2, lead: int = 1) -> str:
    """A row of notes that last so many sixteenths, whose gaps grow with every doubling."""
    gaps = {1: 0, 2: doubling, 3: round(doubling * 1.585), 4: 2 * doubling, 6: round(doubling * 2.585)}
    gaps[8] = 3 * doubling
    return "-" * lead + "".join("5" + "-" * (least + gaps[value] - 1) for value in values)


def values(row: tuple[int, ...]) -> str:
    ends = [Fraction(sum(row[:at]), 4) for at in range(len(row))]
    return " ".join(map(str, ends))


RHYTHMS = (
    (4, 4, 4, 4),
    (2, 2, 4, 2, 2, 4),
    (3, 1, 4, 8),
    (8, 4, 4),
    (6, 2, 4, 4),
    (1, 1, 2, 4, 8),
    (4, 2, 2, 8),
)


@pytest.mark.parametrize(("least", "doubling"), [(3, 2), (2, 2), (2, 3)])
def test_gaps_that_grow_with_every_doubling(least: int, doubling: int) -> None:
    timings = read_rhythm(bars(*(grown(*row, least=least, doubling=doubling) for row in RHYTHMS)))
    assert [onsets(timing) for timing in timings] == [values(row) for row in RHYTHMS]
    assert sure(timings)


def hyphens(*values: int, digits: str = "5") -> str:
    """A row of notes that last so many sixteenths, two hyphens for each, numbers taken in turns."""
    return "-" + "".join(digits[at % len(digits)] + "--" * value for at, value in enumerate(values))


def test_hyphens_that_stand_for_time() -> None:
    timings = read_rhythm(bars(*(hyphens(*row) for row in RHYTHMS)))
    assert [onsets(timing) for timing in timings] == [values(row) for row in RHYTHMS]
    assert sure(timings)


def rooted(*values: int) -> str:
    """A row of notes that last so many sixteenths, whose gaps grow with the root of that."""
    return "-" + "".join("5" + "-" * (round(3 * value**0.5) - 1) for value in values)


def test_what_no_rule_explains_is_not_believed() -> None:
    """A law that is not thought of: rounding, slips and thirds together explain it, and mean nothing."""
    rhythms = ((1,) * 8, (1,) * 6 + (2,)) * 2
    timings = read_rhythm(bars(*(rooted(*row) for row in rhythms), time=TimeSignature(2, 4)))
    assert all(
        onsets(timing) == values(row) or not sure([timing])
        for timing, row in zip(timings, rhythms, strict=True)
    )


def test_bars_filled_up_to_a_round_width() -> None:
    """Two columns a sixteenth; every bar is 40 columns wide, seven of them empty."""
    rows = [
        "-" + "".join("5" + "-" * (2 * value - 1) for value in row) + "-" * 7
        for row in ((3, 1, 3, 1, 3, 1, 4), (2, 2, 4, 4, 2, 2), (3, 1, 4, 3, 1, 4), (4, 4, 2, 2, 4))
    ]
    assert [onsets(timing) for timing in read_rhythm(bars(*rows))] == [
        "0 3/4 1 7/4 2 11/4 3",
        "0 1/2 1 2 3 7/2",
        "0 3/4 1 2 11/4 3",
        "0 1 2 5/2 3",
    ]


def test_one_gap_everywhere_in_bars_whose_ends_differ() -> None:
    """Seven notes or six in 2/4, each with three hyphens behind it: nothing tells the long ones."""
    rows = ("-" * lead + "5---" * notes + "-" * spare for lead, notes, spare in ENDS)
    timings = read_rhythm(bars(*rows, time=TimeSignature(2, 4)))
    assert all(timing.inferred == EVEN for timing in timings)


ENDS = ((1, 6, 0), (1, 6, 1), (2, 7, 0), (1, 7, 0), (2, 6, 0), (1, 8, 2), (2, 5, 0))


def test_lines_whose_first_bar_has_no_lead() -> None:
    """Three columns an eighth; the bar behind the labels begins at once, the others after a hyphen."""
    rows = ["-5--5--5--5--5--5--5--5--"] * 14
    rows[::4] = ["5--5--5--5--5--5--5--5--"] * 4
    timings = read_rhythm(bars(*rows))
    assert {onsets(timing) for timing in timings} == {"0 1/2 1 3/2 2 5/2 3 7/2"}
    assert sure(timings)


def test_single_thirds_of_a_writer_who_slips_are_not_believed() -> None:
    """Three sixteenths of the first bar stand a column too late: none of them is a third of a beat."""
    rows = (
        "-5--5--5--5--5---5--5--5-",
        "-5--5--5--5--5-----5--5--",
        "-5--5--5--5--5--5--5--5--",
        "-5-----5-----5-----------",
    )
    timings = read_rhythm(bars(*rows, time=TimeSignature(2, 4)))
    assert onsets(timings[0]) == "0 1/4 1/2 3/4 1 5/4 3/2 7/4" or not sure(timings[:1])


def test_beats_that_stand_apart() -> None:
    """Two columns a sixteenth, and one more before each beat."""
    rows = (
        "-5-5-5-5--5---5----5-5-5-5--5--------",
        "-5---5----5-5-5-5--5---5----5--------",
        "-5--------5---5----5---5-5--5---5----",
        "-5-----5--5---5----5--------5-5-5-5--",
    )
    timings = read_rhythm(bars(*rows))
    assert [onsets(timing) for timing in timings] == [
        "0 1/4 1/2 3/4 1 3/2 2 9/4 5/2 11/4 3",
        "0 1/2 1 5/4 3/2 7/4 2 5/2 3",
        "0 1 3/2 2 5/2 11/4 3 7/2",
        "0 3/4 1 3/2 2 3 13/4 7/2 15/4",
    ]
    assert sure(timings)


def test_two_beats_that_stand_apart_are_no_slips() -> None:
    """Two columns a sixteenth, and two more before the second beat of bars that have no third."""
    rows = (
        "-5-5-5-5---5-5-5-5-",
        "-5-5-5-5---5-5-5-5-",
        "-5---5-----5-5-5-5-",
        "-5-5-5-5---5-5-5-5-",
        "-5-5-5-----5---5---",
        "-5-5-5-5---5-5-5-5-",
    )
    timings = read_rhythm(bars(*rows, time=TimeSignature(2, 4)))
    assert [onsets(timing) for timing in timings] == [
        "0 1/4 1/2 3/4 1 5/4 3/2 7/4",
        "0 1/4 1/2 3/4 1 5/4 3/2 7/4",
        "0 1/2 1 5/4 3/2 7/4",
        "0 1/4 1/2 3/4 1 5/4 3/2 7/4",
        "0 1/4 1/2 1 3/2",
        "0 1/4 1/2 3/4 1 5/4 3/2 7/4",
    ]


FULL = (
    "-5---5---5-5-5---",
    "-5-5-5-5-5---5---",
    "-5---5-5-5-------",
    "-5-5-5-5-5-5-5-5-",
    "-5-----5-5---5---",
)
READ = ["0 1 2 5/2 3", "0 1/2 1 3/2 2 3", "0 1 3/2 2", "0 1/2 1 3/2 2 5/2 3 7/2", "0 3/2 2 3"]


@pytest.mark.parametrize(("at", "by"), [(0, 1), (0, 2), (1, 1), (3, 2)])
def test_some_bars_begin_later(at: int, by: int) -> None:
    rows = list(FULL * 2)
    rows[at] = "-" * by + rows[at]
    timings = read_rhythm(bars(*rows))
    assert [onsets(timing) for timing in timings] == READ * 2
    assert sure(timings)


def test_a_hyphen_too_many_moves_what_follows() -> None:
    rows = [*FULL, "-5---5----5-5-5---", *FULL]
    timings = read_rhythm(bars(*rows))
    assert [onsets(timing) for timing in timings] == [*READ, READ[0], *READ]


def test_only_some_wide_numbers_push() -> None:
    rows = [*FULL, "-12--5---5-12-5---", "-12---5---5-12-5---", "-5-12-5-12--5---5---"]
    timings = read_rhythm(bars(*rows))
    assert [onsets(timing) for timing in timings[5:7]] == [READ[0]] * 2
    assert onsets(timings[7]) == READ[1]


def test_no_width_is_usual_among_few_bars() -> None:
    assert odd_widths(bars("-5---5---5---", "-5---5---5-")) == {}


def test_no_width_is_usual_where_all_gaps_are_nearly_alike() -> None:
    packed = ("-5-5-5--5-", "-5-5-5-5-", "-5-5--5-5-", "-5-5-5-5-", "-5-5-5-5-5-", "-5-5--5-5-")
    assert odd_widths(bars(*packed)) == {}
    assert not any(sure([timing]) for timing in read_rhythm(bars(*packed)))


def test_a_column_is_taken_out_where_there_is_room() -> None:
    found = [one for _, one in variants(bars("5-5-5---")[0], 1)]
    assert [(one.onsets, one.width) for one in found] == [((0, 1, 3), 7), ((0, 2, 3), 7), ((0, 2, 4), 7)]


def test_dots_of_repeats_take_no_time() -> None:
    rows = (
        "e|:-5---5---5-5-5---|-5---5-5-5-------:|",
        "B|:-----------------|-----------------:|",
        "G|------------------|------------------|",
    )
    page = "Time: 4/4\n\n" + "\n".join(rows)
    part = read_text(Source("page.txt", page)).score.parts[0]
    found = [[str(event.onset) for event in bar.events if event.notes] for bar in part.bars]
    assert found == [READ[0].split(), READ[2].split()]
