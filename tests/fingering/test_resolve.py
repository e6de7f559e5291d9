"""Filling in strings, frets and fingers: what is written stays, what is filled in is marked."""

from __future__ import annotations

from fractions import Fraction

from tabtools.fingering.resolve import resolve
from tabtools.instrument import GUITAR
from tabtools.score import Bar, Event, Instrument, Note, Part, Pitch, Score


def score(*moments: str, instrument: Instrument = GUITAR) -> Score:
    """One part of quarter notes; a moment is a few note names with octave, sounding."""
    events = tuple(
        Event(Fraction(n), Fraction(1), tuple(Note(None, None, Pitch.from_name(name)) for name in m.split()))
        for n, m in enumerate(moments)
    )
    return Score((Part("", instrument, (Bar(1, events=events),)),))


def notes(of: Score) -> list[Note]:
    return [n for part in of.parts for bar in part.bars for event in bar.events for n in event.notes]


def test_a_melody_without_tab_gets_all_three() -> None:
    found = notes(resolve(score("C3", "D3", "E3", "F3", "G3", "A3", "B3", "C4")))
    for note in found:
        assert note.string is not None
        assert note.fret is not None
        assert note.pitch is not None
        assert GUITAR.midi(note.string, note.fret) == note.pitch.midi
        assert note.finger in ("0", "1", "2", "3", "4")
        assert {i.fact for i in note.inferred} == {"string and fret", "finger"}
        assert all(0 < i.confidence <= 1 for i in note.inferred)


def test_what_is_written_is_kept_unless_it_is_to_be_reworked() -> None:
    written = Note(5, 12, Pitch.from_name("A3"), finger="4")
    start = score("C3", "C3", "C3")
    bar = start.parts[0].bars[0]
    changed = bar._replace(events=(*bar.events, Event(Fraction(3), Fraction(1), (written,))))
    given = start._replace(parts=(start.parts[0]._replace(bars=(changed,)),))
    assert notes(resolve(given))[3] == written
    reworked = notes(resolve(given, rework=True))[3]
    assert (reworked.string, reworked.fret) != (5, 12)
    assert reworked.inferred


def test_what_the_hand_has_nothing_to_do_with_stays_as_it_is() -> None:
    start = score("C3", "C1", "C3")  # C1 is below the lowest string
    assert notes(resolve(start))[1] == notes(start)[1]
    dead = start.parts[0].bars[0].events[0]._replace(notes=(Note(3, None, None),))
    bar = start.parts[0].bars[0]._replace(events=(dead,))
    assert notes(resolve(Score((Part("", GUITAR, (bar,)),)))) == [Note(3, None, None)]


def test_options_steer() -> None:
    scale = score("C4", "D4", "E4", "F4", "G4", "A4")
    assert all(n.fret is not None and n.fret <= 5 for n in notes(resolve(scale, max_fret=5)))
    high = notes(resolve(scale, position=12, profile="plectrum"))
    assert all(n.fret is not None and n.fret >= 10 for n in high)


def test_a_capo_shortens_the_neck_and_frets_count_from_it() -> None:
    capo = GUITAR._replace(capo=3)
    found = notes(resolve(score("G3", "A3", "Bb3", instrument=capo)))
    assert [capo.midi(n.string or 0, n.fret or 0) for n in found] == [55, 57, 58]


def test_an_empty_score_and_empty_bars() -> None:
    assert resolve(Score()) == Score()
    empty = Score((Part("", GUITAR, (Bar(1), Bar(2))),))
    assert resolve(empty) == empty
