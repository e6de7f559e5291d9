"""The search is exact: a plain enumeration of all cuttings and all labels never finds a cheaper one."""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import pairwise

import pytest

from tabtools.forms import boxcost, cost, search
from tabtools.forms.evidence import Stroke, moves, strokes
from tabtools.forms.neck import neck
from tabtools.instrument import GUITAR
from tabtools.score import Bar, Event, Harmony, Note, Part
from tabtools.theory.spelling import spell

_FRETS = 12


def _line(seed: int, notes: int) -> tuple[Stroke, ...]:
    """Notes in two small regions of the neck, with chord symbols, without boxes' four different notes."""
    rng = random.Random(seed)
    events, harmonies = [], []
    for i in range(notes):
        string, fret = rng.choice((1, 2, 3)), rng.choice((3, 4, 5)) + (4 if i > notes // 2 else 0)
        note = Note(string, fret, spell(GUITAR.midi(string, fret), None))
        events.append(Event(Fraction(i), Fraction(1), (note,)))
        if rng.random() < 0.3:
            harmonies.append(Harmony(Fraction(i), rng.choice(("G", "C", "Am7", "D5"))))
    bar = Bar(1, events=tuple(events), harmonies=tuple(harmonies))
    return strokes(Part("random", GUITAR, (bar,)), neck(GUITAR))


def _form_price(line: tuple[Stroke, ...], fq: int, anchor: int) -> int | None:
    """A segment's cost by the definition: all notes under one label, every missing degree paid."""
    total, sounded = 0, 0
    members: list[int] = []
    grips: list[bool] = []
    label = cost.number(fq, anchor % 12)
    entry = cost.entries(line[0].chord)[label]
    for i, stroke in enumerate(line):
        here = cost.number(fq, anchor - stroke.base)
        value = cost.sight(stroke).values.get(here)
        if value is None:
            return None
        bits = value & cost.BITS
        grips.append(here in {number for number, *_ in cost.sight(stroke).fresh})
        if i and stroke.turns and not cost.entries(stroke.chord)[label].stays:
            return None
        if i and stroke.turns:
            total += cost.entries(stroke.chord)[label].charge
        if i and bits and members[-1] and moves(line[i - 1], stroke):
            total += cost.SAME_STRING
        members.append(bits)
        total += value >> 5
        sounded |= bits
    strings = {tone.string for stroke in line for tone in stroke.tones}
    # A form begins with a note of its grip, or with one note before that.
    if len(strings) < 2 or not any(grips[:2]):
        return None
    return entry.begin + total + entry.missing[sounded]


def _cheapest(line: tuple[Stroke, ...]) -> int:
    """The cheapest cutting without boxes, by enumeration of all spans and labels."""
    best: dict[tuple[int, int | None, bool], int] = {(0, None, False): 0}
    for end in range(1, len(line) + 1):
        for start in range(end):
            span = line[start:end]
            ways: list[tuple[int | None, int]] = [(None, price) for price in _run_prices(span)]
            for fq in range(len(cost.LABELS)):
                for anchor in range(_FRETS + 1):
                    price = _form_price(span, fq, anchor)
                    if price is not None:
                        ways.append((fq, price))
            for (at, before, _), paid in list(best.items()):
                if at != start:
                    continue
                turn = cost.WITH_CHORD if start and line[start].turns else 0
                for fq_, price in ways:
                    bonus = cost.MOVED if fq_ is not None and fq_ == before else 0
                    key = (end, fq_, True)
                    value = paid + turn + bonus + price
                    best[key] = min(best.get(key, value), value)
    return min(value for (at, *_), value in best.items() if at == len(line))


def _run_prices(span: tuple[Stroke, ...]) -> list[int]:
    first, each = cost.RUN_NOTE
    prices = [first + each * len(span)]
    if len(span) >= 3:
        pitches = [stroke.tones[0].midi for stroke in span]
        leaps = sum(abs(a - b) > 2 for a, b in pairwise(pitches))
        prices.append(cost.RUN_LINE + cost.RUN_STEP[1] * len(span) + cost.RUN_LEAP * leaps)
    return prices


# The last ones begin a form with a note under another chord symbol.
@pytest.mark.parametrize(("seed", "notes"), [*((seed, 7) for seed in range(10)), (103, 9), (178, 9)])
def test_no_cutting_is_cheaper(seed: int, notes: int, monkeypatch: pytest.MonkeyPatch) -> None:
    line = _line(seed, notes)
    monkeypatch.setattr(boxcost, "BOX", 1 << 20)
    found = search.cheapest(line, neck(GUITAR), [None] * len(line), 0).total
    assert found == _cheapest(line)


def test_cuts_cover_the_line_without_gap_or_overlap() -> None:
    for seed in range(30):
        line = _line(seed, 24)
        cuts = search.cheapest(line, neck(GUITAR), [None] * len(line), 0).cuts
        assert [cut.start for cut in cuts] == [0, *(cut.end for cut in cuts[:-1])]
        assert cuts[-1].end == len(line)
