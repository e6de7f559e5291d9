"""Runs of notes that other strings and frets would make much easier."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tabtools.fingering.easier import EASIER, easier_ways
from tabtools.fingering.plan import Plan, plan
from tabtools.fingering.readings import plans
from tabtools.instrument import GUITAR
from tabtools.reading import read
from tabtools.score import Bar, Event, Note, Part, Tempo
from tabtools.theory.spelling import spell

HEAD = "Tuning: standard\nTempo: 120\n\n   e  e  e  e  e  e  e  e  e  e  e  e  e  e  e  e\n"
BLANK = "-" * 25


def _plan(**rows: tuple[str, str]) -> Plan:
    lines = (f"{name}|{'|'.join(rows.get(name, (BLANK, BLANK)))}|" for name in "eBGDAE")
    (found,) = plans(read("page.txt", (HEAD + "\n".join(lines) + "\n").encode()).score, "medium")
    return found


def test_notes_far_from_their_neighbours_are_found() -> None:
    found = _plan(
        B=("-5--------5--------5-----", "-5-----------------------"),
        D=("----17-19----17-19----19-", "-------------------------"),
    )
    (way,) = easier_ways(found)
    assert way.written - way.easier >= EASIER
    assert way.easier <= way.written / 2
    sounding = found.neck.sounds
    notes = [found.taken.sounded[found.number(at) or 0] for at in way.notes]
    assert [sounding(note.want.places[0]) for note in notes] == [sounding(place) for place in way.places]
    assert all(note.want.places != (place,) for note, place in zip(notes, way.places, strict=True))


@pytest.mark.parametrize(
    "rows",
    [
        {"e": ("-5--7--8-----------------", BLANK), "B": ("----------8--6--5--------", BLANK)},
        {"E": ("-3--3--3--3--3--3--3--3--", BLANK)},
        {"E": ("-1--1--1--1--1--1--1--1--", "-1--1--1--1--1--1--1--1--")},
    ],
    ids=["in one position", "one note", "nowhere else to go"],
)
def test_what_lies_well_needs_no_search(
    rows: dict[str, tuple[str, str]], monkeypatch: pytest.MonkeyPatch
) -> None:
    found = _plan(**rows)
    monkeypatch.setattr(Plan, "freed", None)
    assert easier_ways(found) == []


def test_all_other_notes_keep_their_places() -> None:
    found = _plan(
        B=("-5--------5--------5-----", "-5--8--5--8--5--8--5--8--"),
        D=("----17-19----17-19----19-", "-------------------------"),
    )
    free = found.freed([1, 2])
    last = len(found.moments) - 1
    places = [free.solution.steps[step].layer.places for step in (0, 1, last)]
    assert len(set(places[0])) == len(set(places[2])) == 1
    assert len(set(places[1])) > 1


def test_a_note_whose_pitch_is_nowhere_keeps_its_place() -> None:
    """A file may contradict itself; the other notes stay what they are, one after the other."""
    places = [(2, 5, 64), (4, 17, 67), (1, 3, 127), (4, 19, 69), (2, 5, 64)]
    events = tuple(
        Event(Fraction(n, 2), Fraction(1, 2), (Note(string, fret, spell(midi, None)),))
        for n, (string, fret, midi) in enumerate(places)
    )
    found = plan(Part("", GUITAR, (Bar(1, events=events, tempo=Tempo(Fraction(140))),)))
    free = found.freed(range(len(places)))
    assert len(free.moments) == len(found.moments)
    assert free.taken.sounded[2].want.places == ((1, 3),)
    assert all(len(free.taken.sounded[at].want.places) > 1 for at in (0, 1, 3, 4))
    easier_ways(found)
