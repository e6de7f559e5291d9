"""Scales as they are taught, and what must be true of any hand.

The fingers of scales are common practice, no source.
The two-octave C major with one shift is ascribed to Segovia's scales of 1953; not checked in print.
"""

from __future__ import annotations

from fractions import Fraction

import pytest

from tabtools.fingering.hand import easiest
from tabtools.fingering.plan import Plan, plan
from tabtools.instrument import GUITAR
from tabtools.score import Bar, Event, Note, Part, Tempo

# One string a word, as string: fret and finger, ascending.
SCALES = {
    "C major, first position": (
        "6:0.0,1.1,3.3 5:0.0,2.2,3.3 4:0.0,2.2,3.3 3:0.0,2.2 2:0.0,1.1,3.3 1:0.0,1.1,3.3"
    ),
    "chromatic, first position": (
        "6:0.0,1.1,2.2,3.3,4.4 5:0.0,1.1,2.2,3.3,4.4 4:0.0,1.1,2.2,3.3,4.4 "
        "3:0.0,1.1,2.2,3.3 2:0.0,1.1,2.2,3.3,4.4 1:0.0,1.1,2.2,3.3,4.4"
    ),
    "C major, one octave in position 2": "5:3.2,5.4 4:2.1,3.2,5.4 3:2.1,4.3,5.4",
    "G major, two octaves in position 2": (
        "6:3.2,5.4 5:2.1,3.2,5.4 4:2.1,4.3,5.4 3:2.1,4.3,5.4 2:3.2,5.4 1:2.1,3.2"
    ),
    "C major, two octaves with one shift": (
        "5:3.2,5.4 4:2.1,3.2,5.4 3:2.1,4.3,5.1,7.3 2:5.1,6.2,8.4 1:5.1,7.3,8.4"
    ),
    "A minor pentatonic, position 5": "6:5.1,8.4 5:5.1,7.3 4:5.1,7.3 3:5.1,7.3 2:5.1,8.4 1:5.1,8.4",
    "A minor pentatonic, position 7": "6:8.2,10.4 5:7.1,10.4 4:7.1,10.4 3:7.1,9.3 2:8.2,10.4 1:8.2,10.4",
    "A minor pentatonic, position 12": (
        "6:12.1,15.4 5:12.1,15.4 4:12.1,14.3 3:12.1,14.3 2:13.2,15.4 1:12.1,15.4"
    ),
}


def _read(text: str) -> list[tuple[int, int, int]]:
    notes = []
    for word in text.split():
        string, frets = word.split(":")
        for pair in frets.split(","):
            fret, finger = pair.split(".")
            notes.append((int(string), int(fret), int(finger)))
    return notes


def _part(places: list[tuple[int, int]], tempo: int = 120, up: int = 0) -> Part:
    """Eighth notes, one after the other, moved up by some frets."""
    events = tuple(
        Event(Fraction(n, 2), Fraction(1, 2), (Note(string, fret + up, None),))
        for n, (string, fret) in enumerate(places)
    )
    return Part("", GUITAR, (Bar(1, events=events, tempo=Tempo(Fraction(tempo))),))


def _fingers(found: Plan) -> list[int]:
    return [found.held(number).finger for number in range(len(found.taken.sounded))]


@pytest.mark.parametrize("name", SCALES)
@pytest.mark.parametrize("profile", ["classical", "neutral", "plectrum"])
def test_scales_have_the_fingers_that_are_taught(name: str, profile: str) -> None:
    notes = _read(SCALES[name])
    found = plan(_part([note[:2] for note in notes]), profile=profile)
    assert _fingers(found) == [finger for _, _, finger in notes]


@pytest.mark.parametrize("up", [1, 3, 7])
def test_a_fretted_passage_moved_up_keeps_its_fingers(up: int) -> None:
    places = [note[:2] for note in _read(SCALES["A minor pentatonic, position 5"])]
    low, high = plan(_part(places)), plan(_part(places, up=up))
    assert _fingers(low) == _fingers(high)
    assert [high.position(n) - low.position(n) for n in range(len(places))] == [up] * len(places)


def test_a_held_bass_note_only_ever_costs_more() -> None:
    places = [(2, 5), (2, 8), (1, 5), (1, 8)]
    alone = _part(places)
    bass = Event(Fraction(0), Fraction(2), (Note(6, 5, None),), voice=2)
    bar = alone.bars[0]
    both = alone._replace(bars=(bar._replace(events=(*bar.events, bass)),))
    assert plan(both).solution.cost >= plan(alone).solution.cost


def test_slower_never_costs_more() -> None:
    places = [(3, 2), (3, 9), (1, 3), (2, 12)]
    costs = [plan(_part(places, tempo)).solution.cost for tempo in (200, 120, 60, 30)]
    assert costs == sorted(costs, reverse=True)


@pytest.mark.parametrize("notes", [[(6, 1), (1, 6)], [(5, 1), (2, 5)], [(4, 3), (1, 8)]])
def test_a_larger_hand_is_never_further_beyond_its_limits(notes: list[tuple[int, int]]) -> None:
    grips = [easiest(GUITAR, notes, hand) for hand in ("small", "medium", "large")]
    excess = [grip.excess for grip in grips if grip]
    assert excess == sorted(excess, reverse=True)


def test_marks_that_fit_are_kept_and_marks_that_do_not_are_dropped() -> None:
    marked = Part(
        "", GUITAR, (Bar(1, events=(Event(Fraction(0), Fraction(1), (Note(3, 5, None, finger="4"),)),)),)
    )
    assert _fingers(plan(marked)) == [4]
    crossed = Note(3, 5, None, finger="4"), Note(2, 8, None, finger="1")
    event = Event(Fraction(0), Fraction(1), crossed)
    found = plan(Part("", GUITAR, (Bar(1, events=(event,)),)))
    assert _fingers(found) == sorted(_fingers(found))


def test_what_no_hand_can_do_is_counted_and_still_answered() -> None:
    event = Event(Fraction(0), Fraction(1), (Note(6, 1, None), Note(1, 9, None)))
    found = plan(Part("", GUITAR, (Bar(1, events=(event,)),)))
    assert found.broken == 1
    assert [found.held(n)[:2] for n in range(2)] == [(6, 1), (1, 9)]
