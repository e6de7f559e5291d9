from __future__ import annotations

from itertools import pairwise, product

import pytest

from tabtools.forms.nearest import nearest, path
from tabtools.forms.neck import neck
from tabtools.forms.table import FORMS, QUALITIES
from tabtools.instrument import GUITAR, TUNINGS, instrument_from
from tabtools.theory.chord import Chord, parse_chord, pitch_classes

_ROOTS = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")


def _chord(symbol: str) -> Chord:
    chord = parse_chord(symbol)
    assert chord is not None
    return chord


def test_every_major_chord_has_a_form_near_every_position() -> None:
    """Common practice, no source: with five forms, within a fret or two of any position from 0 to 12."""
    distances = [nearest(GUITAR, _chord(root), at)[0].distance for root, at in product(_ROOTS, range(13))]
    assert max(distances) == 2
    assert sum(distance <= 1 for distance in distances) / len(distances) > 0.98


def test_three_forms_are_not_enough_near_the_nut() -> None:
    at = neck(GUITAR)
    far = [
        min(
            abs(anchor - fret) for form in ("E", "A", "D") for anchor in at.anchors(form, root) if anchor >= 0
        )
        for root, fret in product(range(12), range(13))
    ]
    assert max(far) == 4


@pytest.mark.parametrize(
    "symbol", [root + suffix for root in ("C", "F#", "Bb") for suffix in QUALITIES.values()]
)
def test_the_grips_spell_the_chord(symbol: str) -> None:
    for row in (TUNINGS[0], TUNINGS[1], next(row for row in TUNINGS if row.instrument == "Ukulele")):
        instrument = instrument_from(row)
        for form in nearest(instrument, _chord(symbol), 5):
            strings = range(len(instrument.tuning), 0, -1)
            sounding = {
                instrument.midi(string, fret) % 12
                for string, fret in zip(strings, form.frets, strict=True)
                if fret is not None
            }
            assert sounding <= pitch_classes(_chord(symbol))


def test_frets_fingers_and_distance() -> None:
    first, second, *_ = nearest(GUITAR, _chord("G"), 4)
    assert (first.form, first.anchor_fret, first.barre_fret, first.distance) == ("E", 3, 3, 1)
    assert first.frets == (3, 5, 5, 4, 3, 3)
    assert first.fingers == (1, 3, 4, 2, 1, 1)
    assert (second.form, second.anchor_fret, second.barre_fret, second.distance) == ("D", 5, None, 1)
    assert (first.position, second.position) == (3, 5)
    assert second.frets == (None, None, 5, 7, 8, 7)


def test_the_fingers_are_those_that_are_taught() -> None:
    """Common practice, no source: one finger a string in the A form, not a barre of the little finger."""
    found = {form.form: form for form in nearest(GUITAR, _chord("Bb"), 1)}
    assert found["A"].frets == (None, 1, 3, 3, 3, 1)
    assert found["A"].fingers == (None, 1, 2, 3, 4, 1)


def test_each_form_is_given_once_and_the_nearest_comes_first() -> None:
    forms = nearest(GUITAR, _chord("C"), 7)
    assert sorted(form.form for form in forms) == sorted(FORMS)
    assert [form.distance for form in forms] == sorted(form.distance for form in forms)


def test_a_progression_in_one_place() -> None:
    """G, C and D around the fifth fret: D form, G form and A form, without a move."""
    way = path(GUITAR, [_chord(symbol) for symbol in ("G", "C", "D")], 5)
    assert [(form.form, form.anchor_fret) for form in way] == [("D", 5), ("G", 5), ("A", 5)]
    assert sum(form.distance for form in way) == 0


def test_no_way_moves_less() -> None:
    """Against all ways through the five nearest forms of each chord."""
    chords = [_chord(symbol) for symbol in ("F#m", "B7", "Emaj7", "A")]
    for at in (0, 4, 9):
        found = sum(form.distance for form in path(GUITAR, chords, at))
        choices = [nearest(GUITAR, chord, at) for chord in chords]
        for way in product(*choices):
            anchors = [at, *(form.anchor_fret for form in way)]
            assert found <= sum(abs(b - a) for a, b in pairwise(anchors))


def test_a_chord_beyond_the_forms_is_held_as_the_nearest_chord_inside_it() -> None:
    first = nearest(GUITAR, _chord("G13"), 3)[0]
    assert (first.quality, first.exact) == ("9", False)
    assert nearest(GUITAR, _chord("Cadd11"), 3)[0].quality == "maj"
    assert nearest(GUITAR, _chord("Cadd9"), 3)[0].exact


def test_a_chord_that_not_every_form_can_hold_has_fewer_forms() -> None:
    assert {form.form for form in nearest(GUITAR, _chord("E7#9"), 5)} == {"E", "D", "C"}


def test_a_capo_moves_the_chord() -> None:
    guitar = instrument_from(TUNINGS[0], 2)
    assert (nearest(guitar, _chord("E"), 0)[0].form, nearest(guitar, _chord("E"), 0)[0].anchor_fret) == (
        "D",
        0,
    )


def test_the_position_is_the_first_fingers_and_a_barre_is_said_where_one_is_needed() -> None:
    """Common practice, no source: Em7 in the C form lies above its anchor, Gm7 in the G form below it."""
    em7 = next(form for form in nearest(GUITAR, _chord("Em7"), 5) if form.form == "C")
    assert (em7.frets, em7.anchor_fret, em7.position) == ((None, 7, 5, 7, 5, None), 4, 5)
    gm7 = next(form for form in nearest(GUITAR, _chord("Em7"), 9) if form.form == "G")
    assert (gm7.frets, gm7.anchor_fret, gm7.position) == ((None, None, 9, 9, 8, 10), 9, 8)
    for symbol in ("Dm", "D7", "D"):
        moved = next(form for form in nearest(GUITAR, _chord(symbol), 12) if form.form == "D")
        assert (moved.position, moved.barre_fret) == (12, None)
    opened = nearest(GUITAR, _chord("C"), 0)[0]
    assert (opened.form, opened.position, opened.barre_fret) == ("C", 0, None)
