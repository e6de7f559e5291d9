"""A phrase that moves: random ones on pages, and single cases of techniques, words and refusals."""

from __future__ import annotations

from random import Random

import pytest

from tabtools.instrument import GUITAR, TUNINGS, instrument_from
from tabtools.phrases.moving import move
from tabtools.phrases.names import interval_by, interval_to
from tabtools.phrases.wish import Wish
from tabtools.theory.key import parse_key
from tests.phrases.judging import faults, moved_text, read, sounding
from tests.phrases.pages import phrase

_ROWS = ("e", "B", "G", "D", "A", "E")


def page(over: str = "", **rows: str) -> str:
    """A page of one bar in G major; rows by string, ``e_`` for string 1."""
    width = max(map(len, rows.values()))
    lines = [f"{label}|{rows.get(label if label != 'e' else 'e_', '').ljust(width, '-')}|" for label in _ROWS]
    return "\n".join(["Key: G major", "Time: 4/4", "", *([over] if over else []), *lines]) + "\n"


def _by(text: str, semitones: int, **more: object) -> str | tuple[str, ...]:
    document = read(text)
    interval = interval_by(semitones, parse_key("G major"))
    return moved_text(document, Wish(interval, **more))  # type: ignore[arg-type]


@pytest.mark.parametrize("seed", range(6))
def test_random_phrases_move_exactly_and_back(seed: int) -> None:
    text = phrase(Random(seed))
    key = read(text).score.parts[0].bars[0].key
    wishes = [Wish(interval_by(by, key)) for by in (-4, 1, 5)] + [Wish(form=form) for form in ("E", "A", "C")]
    assert [fault for wish in wishes for fault in faults(text, wish)] == []


def test_words_chords_and_header_move_along() -> None:
    text = page(
        "   E form, 3rd position", E="-3-------3-------", D="---5-------5-----", G="-----4-------4---"
    )
    text = text.replace("e|", "   G       D/F#\ne|", 1)
    moved = _by(text, 2)
    assert isinstance(moved, str)
    assert "Key: A major\n" in moved
    assert "E form, 5th position" in moved
    assert "A       E/G#" in moved
    assert "E|-5" in moved


@pytest.mark.parametrize(
    ("rows", "by", "reads"),
    [
        ({"G": "-7b9r7--5~--"}, 2, "9b11r9"),
        ({"G": "-7b9----5~--"}, -5, None),  # nothing bends on an open string
        ({"B": "-5h7p5--8\\5--"}, 3, "8h10p8"),
        ({"D": "-5tr7---5---"}, 2, "7tr9"),
        ({"e_": "-10--(12)--x-"}, -3, "(9)"),
    ],
)
def test_techniques_stay_playable(rows: dict[str, str], by: int, reads: str | None) -> None:
    moved = _by(page(**rows), by)
    assert isinstance(moved, str)
    notes = [note for bar in read(moved).score.parts[0].bars for event in bar.events for note in event.notes]
    assert all(note.fret for note in notes if note.has("bend", "vibrato", "hammer"))
    assert reads is None or reads in moved.replace("-", "")


def test_a_natural_harmonic_that_rings_nowhere_is_told() -> None:
    moved = _by(page(G="-<12>---5---"), 1)
    assert isinstance(moved, tuple)
    assert moved[0].startswith("bar 1: G#4 can't be played as the natural harmonic at fret 12 of a string")
    assert "the nearest move that has a place for all notes of the bar is by" in moved[0]


def test_off_the_neck_the_nearest_move_is_named() -> None:
    moved = _by(page(E="-3---5---3---5---"), -6)
    assert isinstance(moved, tuple)
    assert "lies off the neck, which goes from E2 to E6; the nearest move" in moved[0]
    assert "is by -3 semitones" in moved[0]


def test_open_strings_go_to_other_strings_where_a_shape_would_fall_off() -> None:
    text = page(e_="-0-------0-------", B="---0-------0-----")
    moved = _by(text, -1)
    assert isinstance(moved, str)
    assert [note[3] for note in sounding(read(moved))] == [63, 58, 63, 58]


def test_only_the_bars_that_are_asked_for_move() -> None:
    rows = [f"{label}|-----|-----|" for label in _ROWS]
    rows[1] = "B|-5-7-|-8-7-|"
    text = "\n".join(["Key: G major", "Time: 2/4", "", *rows]) + "\n"
    moved = _by(text, 2, bars=frozenset((2,)))
    assert isinstance(moved, str)
    assert "Key: G major" in moved
    assert [note[3] for note in sounding(read(moved))] == [64, 66, 69, 68]


def test_a_position_has_all_notes_or_says_where_they_are() -> None:
    text = page(G="-4-5-7-5-4---7---")
    moved = moved_text(read(text), Wish(position=9))
    assert isinstance(moved, str)
    frets = [note.fret for bar in read(moved).score.parts[0].bars for e in bar.events for note in e.notes]
    assert all(fret is not None and 8 <= fret <= 13 for fret in frets)
    refused = moved_text(read(page(E="-0-1-3-1-0---3---")), Wish(position=9))
    assert isinstance(refused, tuple)
    assert "the nearest position with all notes of the bar is" in refused[0]


def test_another_tuning_keeps_what_sounds() -> None:
    drop = instrument_from(next(row for row in TUNINGS if "drop d" in row.names))
    text = page(E="-3-5-----", D="-----5-3-")
    moved = moved_text(read(text), Wish(instrument=drop))
    assert isinstance(moved, str)
    assert [note[3] for note in sounding(read(moved))] == [note[3] for note in sounding(read(text))]
    assert read(moved).score.parts[0].instrument.tuning == drop.tuning


def test_another_capo_moves_the_shapes_and_their_names() -> None:
    text = page("   A", G="-2-2-4-2-", D="-2---2-2-")
    moved = moved_text(read(text), Wish(instrument=GUITAR._replace(capo=2)))
    assert isinstance(moved, str)
    assert "Capo: 2" in moved
    assert "Key: F major" in moved
    assert "   G\n" in moved
    assert [note[3] for note in sounding(read(moved))] == [note[3] for note in sounding(read(text))]


def test_another_instrument_has_other_rows() -> None:
    ukulele = instrument_from(next(row for row in TUNINGS if row.instrument == "Ukulele"))
    text = page(e_="-3---5---3---5---", B="---3-------3-----")
    moved = moved_text(read(text), Wish(instrument=ukulele))
    assert isinstance(moved, str)
    assert "Instrument: Ukulele" in moved
    assert len(read(moved).score.parts[0].instrument.tuning) == 4


def test_the_score_stays_where_a_bar_is_refused() -> None:
    document = read(page(G="-<12>---5---"))
    moved = move(document.score, Wish(interval_by(1, None)))
    assert moved.score is document.score
    assert moved.refused


def test_a_key_far_away_goes_the_shorter_way() -> None:
    start, target = parse_key("G major"), parse_key("A major")
    assert start
    assert target
    assert interval_to(start, target).semitones == 2
