"""The notes of a part as strokes: what begins together, and what is left out."""

from __future__ import annotations

from fractions import Fraction

from tabtools.forms.evidence import strokes
from tabtools.forms.neck import neck
from tabtools.instrument import GUITAR
from tabtools.score import Bar, Event, Note, Part, Technique
from tabtools.theory.spelling import spell

ZERO = Fraction(0)


def _event(onset: Fraction, *places: tuple[int, int], grace: bool = False, techniques: str = "") -> Event:
    marks = tuple(Technique(name) for name in techniques.split())
    notes = tuple(Note(s, f, spell(GUITAR.midi(s, f), None), techniques=marks) for s, f in places)
    return Event(onset, ZERO if grace else Fraction(1), notes, grace=grace)


def _places(*events: Event) -> list[list[tuple[int, int]]]:
    found = strokes(Part("Guitar", GUITAR, (Bar(1, events=events),)), neck(GUITAR))
    return [[(tone.string, tone.fret) for tone in stroke.tones] for stroke in found]


def test_two_voices_that_begin_together_are_one_stroke_from_the_last_string_on() -> None:
    voices = _event(ZERO, (2, 1), (1, 0)), _event(ZERO, (5, 3)), _event(Fraction(1), (4, 2))
    assert _places(*voices) == [[(5, 3), (2, 1), (1, 0)], [(4, 2)]]


def test_grace_notes_are_strokes_of_their_own_before_the_note_that_they_lead_to() -> None:
    main, first, second = (
        _event(Fraction(1), (2, 8)),
        _event(Fraction(1), (2, 5), grace=True),
        _event(Fraction(1), (2, 6), grace=True),
    )
    assert _places(main, first, second) == [[(2, 5)], [(2, 6)], [(2, 8)]]


def test_dead_notes_are_no_evidence() -> None:
    assert _places(_event(ZERO, (6, 0), techniques="dead"), _event(Fraction(1), (5, 2))) == [[(5, 2)]]
