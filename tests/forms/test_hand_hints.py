"""What a page says about the hand, and that a form has the same fingers wherever it lies."""

from __future__ import annotations

import random
from fractions import Fraction

import pytest

from tabtools.fingering.hand import grips
from tabtools.fingering.plan import plan
from tabtools.forms.hand_hints import hand_hints, roman
from tabtools.forms.neck import neck
from tabtools.forms.places import form_grip
from tabtools.forms.table import FORMS, QUALITIES, letter_class
from tabtools.instrument import GUITAR
from tabtools.score import Bar, Event, Harmony, Note, Part, TimeSignature, Words
from tabtools.theory.spelling import spell

_ROOTS = ("C", "C#", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")
_Places = list[tuple[int, int]]


@pytest.mark.parametrize(
    ("text", "position"),
    [
        ("V", 5),
        ("IX", 9),
        ("C VII", 7),
        ("pos. IV", 4),
        ("XIV", 14),
        ("B II", 2),
        ("Verse", None),
        ("I like it", None),
        ("IIX", None),
    ],
)
def test_positions_as_numerals(text: str, position: int | None) -> None:
    assert roman(text) == position


def _bar(number: int, places: _Places, *, words: str | None = None, chord: str | None = None) -> Bar:
    events = tuple(
        Event(Fraction(i, 2), Fraction(1, 2), (Note(s, f, spell(GUITAR.midi(s, f), None)),))
        for i, (s, f) in enumerate(places)
    )
    return Bar(
        number,
        TimeSignature(12, 8),
        events=events,
        harmonies=(Harmony(Fraction(0), chord),) if chord else (),
        words=(Words(Fraction(0), words),) if words else (),
    )


def _free(part: Part) -> Part:
    """The same music without strings and frets."""
    bars = tuple(
        bar._replace(
            events=tuple(
                e._replace(notes=tuple(n._replace(string=None, fret=None) for n in e.notes))
                for e in bar.events
            )
        )
        for bar in part.bars
    )
    return part._replace(bars=bars)


_BOX = [(3, 7), (2, 5), (2, 8), (1, 5), (2, 8), (2, 5), (3, 7), (3, 5)]


@pytest.mark.parametrize(
    ("words", "chord", "position"),
    [("5th position", None, 5), ("V", None, 5), ("Em form", "Am", 5), ("E form, 5th position", None, 5)],
)
def test_a_mark_over_the_notes_says_where_the_hand_is(words: str, chord: str | None, position: int) -> None:
    part = _free(Part("lead", GUITAR, (_bar(1, _BOX, words=words, chord=chord), _bar(2, _BOX))))
    hints = hand_hints(part)
    assert [hint.fret for hint in hints.positions] == [position]
    found = plan(part, profile="lead", hints=hints)
    numbers = [found.number(at) for at in found.taken.places]
    assert [found.held(n)[:2] for n in numbers if n is not None] == _BOX * 2


def test_a_mark_counts_up_to_the_next_one() -> None:
    bars = (_bar(1, _BOX, words="V"), _bar(2, _BOX), _bar(3, _BOX, words="12th position"))
    hints = hand_hints(Part("lead", GUITAR, bars))
    spans = [(float(hint.start), float(hint.end), hint.fret) for hint in hints.positions]
    assert spans == [(0.0, 12.0, 5), (12.0, 36.0, 12)]


def _row(rng: random.Random, name: str, root: int) -> list[tuple[str, int, _Places]]:
    """One chord in its forms along the neck, in random order, each note of a grip once or up and down."""
    groups = []
    for form in rng.sample(FORMS, len(FORMS)):
        anchor = (root - letter_class(form)) % 12 or 12
        grip = form_grip(neck(GUITAR), form, name, anchor)
        if grip is not None and len(grip.notes) > 2 and all(fret for _, fret, _ in grip.notes):
            up = [(string, fret) for string, fret, _ in grip.notes]
            line = up + up[-2::-1] if rng.random() < 0.5 else rng.sample(up, len(up))
            groups.append((form, anchor, line))
    return groups


def test_a_form_has_the_same_fingers_wherever_it_lies_and_no_shift_inside() -> None:
    """Common practice, no source: what the hand holds as one grip, it fingers as one."""
    rng = random.Random(19)
    taught: dict[tuple[str, str], set[frozenset[tuple[int, int]]]] = {}
    for _ in range(12):
        name, root = rng.choice(("maj", "min", "7", "m7", "maj7")), rng.randrange(12)
        groups = _row(rng, name, root)
        chord = _ROOTS[root] + QUALITIES[name]
        bars = tuple(
            _bar(i, line, chord=chord if i == 1 else None) for i, (_, _, line) in enumerate(groups, 1)
        )
        part = Part("row", GUITAR, bars)
        found = plan(part, profile="lead", hints=hand_hints(part))
        for number, (form, _, line) in enumerate(groups):
            notes = [
                n for at in found.taken.places if at.bar == number and (n := found.number(at)) is not None
            ]
            assert len({found.position(n) for n in notes}) == 1
            fingers = frozenset((found.held(n).string, found.held(n).finger) for n in notes)
            taught.setdefault((form, name), set()).add(fingers)
            held = next(iter(grips(GUITAR, line)))
            if min(fret for _, fret in line) == 5:
                assert fingers == {(s, p.finger) for p in held.presses for s in p.strings}
    assert all(len(ways) == 1 for ways in taught.values())
