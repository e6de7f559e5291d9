"""Which profile suits a part."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tabtools.fingering.neck import Neck
from tabtools.fingering.plan import plan
from tabtools.fingering.texture import suited
from tabtools.instrument import GUITAR
from tabtools.score import Bar, Event, Note, Part, Pitch

_LINE = ("A4", "C5", "D5", "E5", "G5", "E5", "D5", "C5")


def _part(*notes: str, length: int = 1, name: str = "") -> Part:
    events = tuple(
        Event(
            Fraction(i),
            Fraction(length),
            tuple(Note(None, None, Pitch.from_name(n)) for n in text.split("+")),
        )
        for i, text in enumerate(notes)
    )
    return Part(name, GUITAR, (Bar(1, events=events),))


@pytest.mark.parametrize(
    ("part", "profile"),
    [
        (_part(*_LINE), "lead"),
        (_part("E4+G4", "F4+A4", "G4+B4", "E4+G4"), "lead"),
        (_part("C3+G3+E4", "F3+C4+A4", "G3+D4+B4", "C3+G3+E4"), "neutral"),
        (_part("C3", "G3", "E4", "G3", length=3), "classical"),
        (_part(*_LINE, name="Classical Guitar"), "classical"),
        (_part(*_LINE)._replace(instrument=GUITAR._replace(tuning=GUITAR.tuning[:4])), "neutral"),
    ],
)
def test_the_notes_and_the_instrument_choose(part: Part, profile: str) -> None:
    assert suited(part).profile == profile


def test_a_lone_note_goes_where_a_lead_player_takes_it() -> None:
    """Common practice, no source: A4 is on string 1 or 2, not far up string 3."""
    found = plan(_part("A4"), profile="lead")
    assert found.held(0)[:2] in ((1, 5), (2, 10))
    assert plan(_part("A4"), profile="plectrum").held(0)[:2] in ((1, 5), (2, 10))


def test_no_open_string_where_the_note_is_found_elsewhere() -> None:
    neck = Neck(GUITAR, "medium", no_open=True)
    assert all(fret for _, fret in neck.places(64))
    assert neck.places(40) == ((6, 0),)
    held = plan(_part("E4", "B3", "G3", "E2"), profile="classical", no_open=True)
    assert [held.held(n).fret > 0 for n in range(4)] == [True, True, True, False]
