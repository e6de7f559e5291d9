"""Which string each row is."""

from __future__ import annotations

import pytest

from tabtools.text.page.header import Header
from tabtools.text.page.string_names import StringName, string_names
from tabtools.text.page.strings import choose_strings


def choose(labels: str, header: Header = Header()) -> tuple[str, list[int], tuple[int, ...]]:  # noqa: B008
    found = choose_strings(tuple("" if label == "." else label for label in labels.split()), header)
    return found.instrument.name, [pitch.midi for pitch in found.instrument.tuning], found.numbers


STANDARD = [64, 59, 55, 50, 45, 40]


@pytest.mark.parametrize(
    ("labels", "name", "tuning"),
    [
        ("e B G D A E", "Guitar", STANDARD),
        ("E B G D A E", "Guitar", STANDARD),
        ("1 2 3 4 5 6", "Guitar", STANDARD),
        (". . . . . .", "Guitar", STANDARD),
        ("d A G D A D", "Guitar", [62, 57, 55, 50, 45, 38]),
        ("eb Bb Gb Db Ab Eb", "Guitar", [63, 58, 54, 49, 44, 39]),
        ("e B G D A D", "Guitar", [64, 59, 55, 50, 45, 38]),
        ("e C G D A F", "Guitar", [64, 60, 55, 50, 45, 41]),
        ("G D A E", "Bass", [43, 38, 33, 28]),
        ("A E C G", "Ukulele", [69, 64, 60, 67]),
        ("D B G D g", "Banjo", [62, 59, 55, 50, 67]),
        ("E A D G", "Mandolin", [76, 69, 62, 55]),
        ("E4 B3 G3 D3 A2 E2 B1", "Seven-string guitar", [64, 59, 55, 50, 45, 40, 35]),
    ],
)
def test_instrument_and_tuning(labels: str, name: str, tuning: list[int]) -> None:
    """Tunings by their labels: common practice, no source."""
    assert choose(labels)[:2] == (name, tuning)


def test_low_string_on_top() -> None:
    assert choose("E A D G B e")[2] == (6, 5, 4, 3, 2, 1)
    assert choose("6 5 4 3 2 1")[2] == (6, 5, 4, 3, 2, 1)
    assert choose("E A D G", Header(instrument="Bass")) == ("Bass", [43, 38, 33, 28], (4, 3, 2, 1))


def test_a_small_letter_on_top_of_its_capital_is_the_high_string() -> None:
    # The names of D A D G A D with two of them exchanged, which backwards are that tuning in order.
    assert choose("d A D G A D")[2] == (1, 2, 3, 4, 5, 6)
    assert choose("D A D G A d")[2] == (6, 5, 4, 3, 2, 1)


def test_only_some_strings_drawn() -> None:
    assert choose("B G D")[2] == (2, 3, 4)
    assert choose("e B G")[2] == (1, 2, 3)


def test_a_tuning_that_no_table_has_goes_to_the_nearest_octave() -> None:
    assert choose("d B F# D A D")[1] == [62, 59, 54, 50, 45, 38]


def test_header_words_win_over_labels() -> None:
    down = Header(strings=string_names("D G C F A D"))
    assert choose("e B G D A E", down)[1] == [62, 57, 53, 48, 43, 38]


def test_a_header_with_too_few_strings_is_not_believed() -> None:
    assert choose("e B G D A E", Header(strings=string_names("G D A")))[1] == STANDARD


@pytest.mark.parametrize("count", range(3, 13))
def test_bare_rows_of_any_number(count: int) -> None:
    _, tuning, numbers = choose(" ".join("." * count))
    assert len(tuning) >= count
    assert numbers == tuple(range(1, count + 1))


def test_string_names() -> None:
    assert string_names("Eb A d4") == (StringName("Eb"), StringName("A"), StringName("D", 4, lower=True))
    assert string_names("drop D") == ()
