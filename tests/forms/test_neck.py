from __future__ import annotations

import pytest

from tabtools.forms.neck import common_offset, neck
from tabtools.instrument import TUNINGS, instrument_from
from tabtools.score import Instrument


@pytest.mark.parametrize(
    ("instrument", "tuning", "lines", "retuned", "common"),
    [
        ("Guitar", "standard", (1, 2, 3, 4, 5, 6), (0, 0, 0, 0, 0, 0), 0),
        ("Guitar", "drop d", (1, 2, 3, 4, 5, 6), (0, 0, 0, 0, 0, -2), 0),
        ("Guitar", "open g", (1, 2, 3, 4, 5, 6), (-2, 0, 0, 0, -2, -2), 0),
        ("Guitar", "open d", (1, 2, 3, 4, 5, 6), (0, 0, 1, 2, 2, 0), -2),
        ("Guitar", "half step down", (1, 2, 3, 4, 5, 6), (0, 0, 0, 0, 0, 0), -1),
        ("Guitar", "drop c", (1, 2, 3, 4, 5, 6), (0, 0, 0, 0, 0, -2), -2),
        ("Seven-string guitar", "standard", (1, 2, 3, 4, 5, 6, 7), (0,) * 7, 0),
        ("Bass", "standard", (3, 4, 5, 6), (0, 0, 0, 0), 0),
        ("Five-string bass", "standard", (3, 4, 5, 6, 7), (0,) * 5, 0),
        ("Six-string bass", "standard", (2, 3, 4, 5, 6, 7), (1, 0, 0, 0, 0, 0), 0),
        ("Ukulele", "standard", (1, 2, 3, 4), (0, 0, 0, 0), 5),
    ],
)
def test_strings_beside_those_of_the_forms(
    instrument: str, tuning: str, lines: tuple[int, ...], retuned: tuple[int, ...], common: int
) -> None:
    row = next(row for row in TUNINGS if row.instrument == instrument and tuning in row.names)
    at = neck(instrument_from(row))
    assert at.lines == lines
    assert tuple(at.retuned(i + 1) for i in range(len(lines))) == retuned
    assert at.common == common


def test_a_capo_moves_roots_and_no_frets() -> None:
    guitar = instrument_from(TUNINGS[0], 2)
    at = neck(guitar)
    assert at.root("D", 0) == 4  # the open D form sounds E
    assert at.open_class(6) == 6


def test_ties_go_to_the_whole_neck_then_to_the_smallest_offset() -> None:
    assert common_offset((-2, 0)) == 0
    assert common_offset((-2, 0), (-2, -2, 0)) == -2
    assert common_offset((3, -1)) == -1


def test_no_strings_no_forms() -> None:
    with pytest.raises(ValueError, match="without strings"):
        neck(Instrument("Theremin", ()))
