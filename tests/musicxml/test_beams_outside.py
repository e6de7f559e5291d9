"""Beams against those of music21's `makeBeams`, a general library, for bars of any straight rhythm.

Only the first beams are compared: music21 breaks the second ones at every eighth of a beat, we keep a beat
together (Gould, "Behind Bars", from memory). In 5/4 it joins beats in pairs where we beam each, and in 5/8
and 7/8 it takes one grouping of several.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tabtools.musicxml.writing.rhythm import lanes
from tabtools.score import Bar, Event, Note, Pitch, TimeSignature

SIXTEENTH = Fraction(1, 4)
SAME = ("2/4", "3/4", "4/4", "2/2", "3/8", "6/8", "9/8", "12/8", "6/4")
Group = list[Fraction]


def metre(name: str) -> TimeSignature:
    beats, unit = map(int, name.split("/"))
    return TimeSignature(beats, unit)


def bar_of(time: TimeSignature, onsets: Sequence[Fraction], end: Fraction, pickup: bool = False) -> Bar:
    ends = [*onsets[1:], end]
    note = (Note(None, None, Pitch("C", 0, 4)),)
    events = tuple(Event(a, b - a, notes=note) for a, b in zip(onsets, ends, strict=True))
    return Bar(1, time, events=events, pickup=pickup)


def ours(bar: Bar, before: Fraction = Fraction(0)) -> list[Group]:
    groups: list[Group] = []
    for piece in lanes(bar, before)[0].pieces:
        if piece.beams and piece.beams[0] == "begin":
            groups.append([])
        if piece.beams:
            groups[-1].append(piece.onset)
    return groups


def theirs(bar: Bar, before: Fraction = Fraction(0)) -> list[Group]:
    from music21 import meter, note, stream

    measure = stream.Measure()
    measure.timeSignature = meter.TimeSignature(bar.time.name)
    measure.paddingLeft = before
    pieces = lanes(bar, before)[0].pieces
    for piece in pieces:
        one = note.Note(60) if piece.event is not None else note.Rest()
        one.quarterLength = piece.value.duration
        measure.append(one)
    measure.makeBeams(inPlace=True)
    groups: list[Group] = []
    for piece, element in zip(pieces, measure.notesAndRests, strict=True):
        kind = element.beams.beamsList[0].type if element.isNote and element.beams.beamsList else ""
        if kind == "start":
            groups.append([])
        if kind in ("start", "continue", "stop"):
            groups[-1].append(piece.onset)
    return groups


@st.composite
def bars(draw: st.DrawFn, names: Sequence[str]) -> Bar:
    time = metre(draw(st.sampled_from(names)))
    steps = int(time.length / SIXTEENTH)
    cuts = draw(st.sets(st.integers(1, steps - 1), max_size=steps))
    return bar_of(time, [step * SIXTEENTH for step in sorted({0, *cuts})], time.length)


@settings(max_examples=200, deadline=None)
@given(bars(SAME))
def test_first_beams_are_those_of_music21(bar: Bar) -> None:
    assert ours(bar) == theirs(bar)


@settings(max_examples=50, deadline=None)
@given(bars(("5/4",)))
def test_in_five_four_no_beam_is_longer_than_theirs(bar: Bar) -> None:
    whole = theirs(bar)
    assert all(any(set(group) <= set(other) for other in whole) for group in ours(bar))


@pytest.mark.parametrize("name", ["2/4", "3/4", "4/4", "6/8"])
@pytest.mark.parametrize("count", [2, 3, 5])
def test_a_pickup_is_beamed_as_the_end_of_its_bar(name: str, count: int) -> None:
    time = metre(name)
    length = min(count * 2 * SIXTEENTH, time.length - 2 * SIXTEENTH)
    bar = bar_of(
        time, [at * 2 * SIXTEENTH for at in range(int(length / (2 * SIXTEENTH)))], length, pickup=True
    )
    before = time.length - length
    assert ours(bar, before) == theirs(bar, before)
