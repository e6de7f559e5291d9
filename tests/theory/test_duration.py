"""Note values: exact always, and written as engraving practice wants."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tabtools.score import TimeSignature, Tuplet
from tabtools.theory.duration import TYPES, Value, beats, single, split

_METRES = st.builds(TimeSignature, st.integers(1, 24), st.sampled_from([1, 2, 4, 8, 16, 32]))
_ANY = st.fractions(0, 40, max_denominator=5000)


def _metre(name: str) -> TimeSignature:
    count, unit = name.split("/")
    return TimeSignature(int(count), int(unit))


def _written(value: Value) -> str:
    ratio = f" {value.tuplet.actual}:{value.tuplet.normal}" if value.tuplet else ""
    return value.type + "." * value.dots + ratio


# Metre, onset, duration, and the values: Gould, "Behind Bars", from memory.
_NOTES = [
    # 4/4 shows its middle, except for the longest values and the plain syncopation of quarter, half, quarter.
    ("4/4", "0", "4", "whole"),
    ("4/4", "0", "3", "half."),
    ("4/4", "1", "3", "half."),
    ("4/4", "1", "2", "half"),
    ("4/4", "1", "3/2", "quarter ~ eighth"),
    ("4/4", "3/2", "1", "eighth ~ eighth"),
    ("4/4", "3/2", "3/2", "eighth ~ quarter"),
    ("4/4", "0", "5/2", "half ~ eighth"),
    ("4/4", "0", "7/2", "half ~ quarter."),
    ("4/4", "1/2", "3", "quarter. ~ quarter."),
    ("4/4", "1/2", "3/2", "quarter."),
    # Beats, and within them their halves.
    ("4/4", "1/2", "1", "quarter"),
    ("4/4", "1/4", "1/2", "eighth"),
    ("4/4", "1/4", "3/4", "eighth."),
    ("4/4", "1/4", "1", "eighth. ~ 16th"),
    ("4/4", "3/4", "1/2", "16th ~ 16th"),
    ("2/4", "1/2", "1", "quarter"),
    ("3/4", "0", "2", "half"),
    ("3/4", "1", "2", "half"),
    ("3/4", "3/2", "3/2", "eighth ~ quarter"),
    ("2/2", "1", "2", "half"),
    # Compound metres show their dotted beats.
    ("6/8", "0", "3", "half."),
    ("6/8", "0", "2", "quarter. ~ eighth"),
    ("6/8", "1", "1", "eighth ~ eighth"),
    ("6/8", "1/2", "1", "quarter"),
    ("9/8", "0", "9/2", "half. ~ quarter."),
    ("12/8", "3/2", "3", "quarter. ~ quarter."),
    # Odd metres show their groups.
    ("5/4", "0", "5", "half. ~ half"),
    ("7/8", "0", "7/2", "half ~ quarter."),
    # Tuplets, inside a beat and across it.
    ("4/4", "0", "1/3", "eighth 3:2"),
    ("4/4", "2/3", "2/3", "quarter 3:2"),
    ("4/4", "0", "4/3", "half 3:2"),
    ("4/4", "1/3", "1", "quarter 3:2 ~ eighth 3:2"),
    ("4/4", "0", "1/5", "16th 5:4"),
    ("4/4", "0", "1/7", "16th 7:4"),
    ("6/8", "0", "3/10", "eighth 5:3"),
    # Over the bar line, and below the shortest value.
    ("4/4", "2", "4", "half ~ half"),
    ("4/4", "0", "1/4096", "1024th 16:1"),
]
_RESTS = [
    ("4/4", "0", "4", "whole"),
    ("4/4", "0", "3", "half ~ quarter"),
    ("4/4", "1", "2", "quarter ~ quarter"),
    ("4/4", "1/2", "3/2", "eighth ~ quarter"),
    ("3/4", "0", "2", "quarter ~ quarter"),
    ("6/8", "0", "5/2", "quarter. ~ eighth ~ eighth"),
]


@pytest.mark.parametrize(("metre", "onset", "duration", "values"), _NOTES)
def test_notes_show_the_divisions_that_matter(metre: str, onset: str, duration: str, values: str) -> None:
    found = split(Fraction(onset), Fraction(duration), _metre(metre))
    assert " ~ ".join(map(_written, found)) == values


@pytest.mark.parametrize(("metre", "onset", "duration", "values"), _RESTS)
def test_rests_show_every_division(metre: str, onset: str, duration: str, values: str) -> None:
    found = split(Fraction(onset), Fraction(duration), _metre(metre), is_rest=True)
    assert " ~ ".join(map(_written, found)) == values


@given(_ANY, _ANY.filter(bool), _METRES, st.booleans())
def test_any_duration_comes_out_exact(
    onset: Fraction, duration: Fraction, time: TimeSignature, rest: bool
) -> None:
    values = split(onset, duration, time, rest)
    assert sum(value.duration for value in values) == duration
    for value in values:
        nominal = TYPES[value.type] * (2 - Fraction(1, 2**value.dots))
        ratio = Fraction(value.tuplet.normal, value.tuplet.actual) if value.tuplet else 1
        assert nominal * ratio == value.duration
        assert value.dots < 2


@given(_ANY, _ANY.filter(bool), _METRES)
def test_no_value_crosses_a_bar_line(onset: Fraction, duration: Fraction, time: TimeSignature) -> None:
    now = onset
    for value in split(onset, duration, time):
        assert now % time.length + value.duration <= time.length
        now += value.duration


@given(_METRES, st.integers(0, 63), st.integers(1, 64))
def test_plain_sixteenths_need_no_tuplet(time: TimeSignature, onset: int, duration: int) -> None:
    values = split(Fraction(onset, 4), Fraction(duration, 4), time)
    assert all(value.tuplet is None for value in values)


@pytest.mark.parametrize(("onset", "duration"), [(0, 0), (0, -1), (-1, 1)])
def test_what_has_no_length_has_no_value(onset: int, duration: int) -> None:
    with pytest.raises(ValueError, match="no value lasts"):
        split(Fraction(onset), Fraction(duration), TimeSignature(4, 4))


@pytest.mark.parametrize(
    ("metre", "starts"),
    [
        ("4/4", "0 1 2 3 4"),
        ("3/8", "0 3/2"),
        ("6/8", "0 3/2 3"),
        ("2/2", "0 2 4"),
        ("5/8", "0 3/2 5/2"),
        ("7/8", "0 1 2 7/2"),
        ("4/8", "0 1 2"),
    ],
)
def test_beats(metre: str, starts: str) -> None:
    assert beats(_metre(metre)) == tuple(map(Fraction, starts.split()))


def test_single_knows_double_dots_and_tuplets() -> None:
    assert single(Fraction(7, 4)) == Value(Fraction(7, 4), "quarter", 2)
    assert single(Fraction(1, 3), Tuplet(3, 2)) == Value(Fraction(1, 3), "eighth", 0, Tuplet(3, 2))
    assert single(Fraction(5, 4)) is None
