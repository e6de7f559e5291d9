"""Tunings and the geometry of the neck, against equal temperament and what every player knows."""

from __future__ import annotations

import math

import pytest

from tabtools.instrument import (
    GUITAR,
    TUNINGS,
    above_shapes,
    contact_point,
    fret_wire,
    instrument_from,
    string_spacing,
)
from tabtools.score import Instrument


def hertz(midi: int) -> float:
    """Equal temperament: f = 440 * 2^((m - 69) / 12), A4 = 440 Hz (ISO 16 and the MIDI tuning standard)."""
    return 440.0 * math.pow(2.0, (midi - 69) / 12)


def named(instrument: str, name: str) -> Instrument:
    return instrument_from(next(row for row in TUNINGS if row.instrument == instrument and name in row.names))


@pytest.mark.parametrize(
    ("string", "frequency"),
    [(6, 82.41), (5, 110.00), (4, 146.83), (3, 196.00), (2, 246.94), (1, 329.63)],
)
def test_open_strings_sound_as_the_tables_of_equal_temperament_say(string: int, frequency: float) -> None:
    """Source: the usual table of equal-tempered frequencies at A4 = 440 Hz, from memory."""
    assert round(hertz(GUITAR.midi(string, 0)), 2) == frequency


@pytest.mark.parametrize("string", range(1, 7))
def test_the_twelfth_fret_is_the_octave(string: int) -> None:
    """Common practice, no source; and half the string length, by equal temperament."""
    assert GUITAR.midi(string, 12) - GUITAR.midi(string, 0) == 12
    assert math.isclose(hertz(GUITAR.midi(string, 12)), 2 * hertz(GUITAR.midi(string, 0)))
    assert math.isclose(fret_wire(GUITAR.scale_length, 12), GUITAR.scale_length / 2)


@pytest.mark.parametrize(("string", "fret"), [(6, 5), (5, 5), (4, 5), (3, 4), (2, 5)])
def test_the_fifth_fret_tunes_the_next_string_and_the_fourth_on_string_three(string: int, fret: int) -> None:
    """Common practice, no source."""
    assert GUITAR.midi(string, fret) == GUITAR.midi(string - 1, 0)


def test_a_capo_raises_every_string_and_frets_count_from_it() -> None:
    capo = Instrument("Guitar", GUITAR.tuning, capo=2)
    assert [capo.midi(string, 0) for string in range(1, 7)] == [GUITAR.midi(s, 2) for s in range(1, 7)]


def test_a_string_that_is_not_there() -> None:
    with pytest.raises(IndexError, match="string 7 of 6"):
        GUITAR.midi(7, 0)


@pytest.mark.parametrize(
    ("instrument", "name", "midi"),
    [
        ("Guitar", "standard", [40, 45, 50, 55, 59, 64]),
        ("Guitar", "dadgad", [38, 45, 50, 55, 57, 62]),
        ("Guitar", "half step down", [39, 44, 49, 54, 58, 63]),
        ("Bass", "standard", [28, 33, 38, 43]),
        ("Ukulele", "high g", [67, 60, 64, 69]),
        ("Banjo", "open g", [67, 50, 55, 59, 62]),
        ("Mandolin", "standard", [55, 62, 69, 76]),
    ],
)
def test_tunings_from_the_last_string_to_the_first(instrument: str, name: str, midi: list[int]) -> None:
    """Common practice, no source; ukulele and banjo keep the order of the strings, not of the pitches."""
    assert [pitch.midi for pitch in reversed(named(instrument, name).tuning)] == midi


def test_no_two_rows_share_a_name() -> None:
    names = [(row.instrument, name) for row in TUNINGS for name in row.names]
    assert len(names) == len(set(names))


@pytest.mark.parametrize(
    ("fret", "millimetres"),
    [(1, 36.37), (2, 70.70), (3, 103.10), (4, 133.68), (5, 162.55), (7, 215.51), (12, 324.00)],
)
def test_frets_lie_where_equal_temperament_puts_them(fret: int, millimetres: float) -> None:
    """L (1 - 2^(-n/12)) for L = 648 mm, worked out by hand."""
    assert round(fret_wire(648, fret), 2) == millimetres


def test_strings_spread_from_nut_to_bridge() -> None:
    assert string_spacing(648, 0) == 7.2
    assert string_spacing(648, 648) == 10.5


def test_a_finger_presses_behind_its_fret_wire() -> None:
    x, y = contact_point(GUITAR, 6, 5)
    assert fret_wire(648, 4) < x < fret_wire(648, 5)
    assert y > 0 > contact_point(GUITAR, 1, 5)[1]
    assert contact_point(Instrument("Guitar", GUITAR.tuning, capo=2), 6, 3) == (x, y)


@pytest.mark.parametrize(
    ("name", "capo", "above"),
    [
        ("standard", 0, 0),
        ("standard", 3, 3),
        ("half step down", 0, -1),
        ("half step down", 1, 0),
        ("drop c", 0, -2),
        ("drop d", 2, 2),
        ("open g", 0, 0),
    ],
)
def test_how_far_a_grip_sounds_above_the_chord_that_it_is_named_after(
    name: str, capo: int, above: int
) -> None:
    """Common practice, no source: an E grip on strings tuned half a step down sounds Eb."""
    row = next(row for row in TUNINGS if row.instrument == "Guitar" and name in row.names)
    assert above_shapes(instrument_from(row, capo)) == above


def test_a_small_guitar_is_no_guitar_tuned_up() -> None:
    assert above_shapes(named("Baritone ukulele", "standard")) == 0
    assert above_shapes(named("Tenor guitar", "standard")) == 0
