"""Notes with times to moments: what is struck together, and what is still held on."""

from __future__ import annotations

from tabtools.fingering.moments import TOGETHER, Sounded, moments
from tabtools.fingering.states import Want

SECOND = 1_000_000


def _note(onset: int, end: int, *places: tuple[int, int], lead: bool = False) -> Sounded:
    return Sounded(onset, end, Want(places), lead)


def test_notes_struck_nearly_together_are_one_moment() -> None:
    strum = [_note(0, SECOND, (6, 3)), _note(TOGETHER, SECOND, (5, 2)), _note(TOGETHER + 1, SECOND, (4, 0))]
    assert [moment.struck for moment in moments(strum)] == [(0, 1), (2,)]


def test_a_grace_note_is_a_moment_of_its_own() -> None:
    notes = [_note(0, 10, (3, 5), lead=True), _note(10, SECOND, (3, 7))]
    assert [moment.struck for moment in moments(notes)] == [(0,), (1,)]


def test_a_note_that_can_be_played_nowhere_is_left_out() -> None:
    assert [moment.struck for moment in moments([_note(0, 10), _note(0, 10, (1, 0))])] == [(1,)]


def test_a_note_is_held_until_it_ends_or_its_string_is_struck() -> None:
    bass = _note(0, 2 * SECOND, (5, 3))
    same_string, other_string = _note(SECOND, 2 * SECOND, (5, 5)), _note(SECOND, 2 * SECOND, (4, 2))
    open_choice = _note(SECOND, 2 * SECOND, (5, 5), (6, 10))
    assert moments([bass, other_string])[1].held == (0,)
    assert moments([bass, same_string])[1].held == ()
    assert moments([bass, open_choice])[1].held == (0,)
    assert moments([_note(0, SECOND + TOGETHER, (5, 3)), other_string])[1].held == ()


def test_a_note_of_the_same_pitch_takes_the_place_of_the_one_that_is_held() -> None:
    places = ((2, 5), (1, 0))
    assert moments([_note(0, 2 * SECOND, *places), _note(SECOND, 2 * SECOND, *places)])[1].held == ()


def test_the_two_notes_that_last_longest_are_followed() -> None:
    chord = [_note(0, (2 + n) * SECOND, (6 - n, 3)) for n in range(3)]
    assert moments([*chord, _note(SECOND, 2 * SECOND, (1, 3))])[1].held == (2, 1)
