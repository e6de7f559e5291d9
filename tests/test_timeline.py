"""The timeline of a part. Times are counted by hand on the page above each test."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import given, settings

from tabtools.score import Part, Score
from tabtools.source import Source
from tabtools.text.reader import read_text
from tabtools.timeline import chord_spans, chords_in_force, moments, pressed_at
from tests.strategies import scores

PAGE = """\
Time: 4/4
Tempo: 90

[Theme]
  Am        F
  let ring--------|
e|-------0---0-----|-----------------|
B|-----1---1---1---|-1---1---1---1---|
G|---0-----------0-|-----------------|
D|-----------------|-----------------|
A|-3---------------|-3---------------|
E|-----------------|-----------------|
"""


def part_of(page: str) -> Part:
    return read_text(Source("page.txt", page)).score.parts[0]


def test_what_rings_is_held_until_its_string_is_struck_or_the_bar_ends() -> None:
    first = moments(part_of(PAGE))[:8]
    assert [float(moment.start) for moment in first] == [0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5]
    held = [[sound.note.string for sound in moment.held] for moment in first]
    assert held == [[], [5], [5, 3], [5, 3, 2], [5, 3, 1], [5, 3, 2], [5, 3, 1], [5, 1, 2]]
    assert [sound.note.string for sound in moments(part_of(PAGE))[8].held] == []


def test_chord_section_and_tempo_stay_in_force() -> None:
    timeline = moments(part_of(PAGE))
    assert [moment.harmony.symbol if moment.harmony else None for moment in timeline[:8]] == [
        *["Am"] * 4,
        *["F"] * 4,
    ]
    assert timeline[-1].harmony is not None
    assert timeline[-1].harmony.symbol == "F"
    assert {moment.section for moment in timeline} == {"Theme"}
    assert {moment.tempo.per_minute for moment in timeline if moment.tempo} == {90}


def test_a_chord_symbol_lasts_to_the_next_or_the_end() -> None:
    spans = [(span.harmony.symbol, float(span.start), float(span.end)) for span in chord_spans(part_of(PAGE))]
    assert spans == [("Am", 0, 2), ("F", 2, 8)]


def test_each_event_has_the_chord_in_force() -> None:
    rows = chords_in_force(part_of(PAGE))
    names = ["".join(harmony.symbol if harmony else "-" for harmony in row) for row in rows]
    assert names == ["AmAmAmAmFFFF", "FFFF"]


def test_a_tied_note_is_part_of_the_one_before() -> None:
    timeline = moments(part_of("Time: 4/4\n\n  h   h    h   h\nG|-5---=5-|-=5--7-|\n"))
    lengths = [float(sound.end - sound.start) for moment in timeline for sound in moment.struck]
    assert lengths == [6, 2]


def test_a_finger_presses_what_is_neither_open_nor_touched_nor_off_the_neck() -> None:
    part = part_of("G|-0-5-<12>-37-t7-x-|\n")
    notes = [sound.note for moment in moments(part) for sound in moment.struck]
    assert [pressed_at(note, part.instrument) for note in notes] == [None, (3, 5), *[None] * 4]


@settings(max_examples=60, deadline=None)
@given(scores)
def test_every_note_is_struck_once_or_tied(score: Score) -> None:
    for part in score.parts:
        timeline = moments(part)
        struck = [sound.where for moment in timeline for sound in moment.struck]
        assert len(struck) == len(set(struck))
        all_notes = [note for bar in part.bars for event in bar.events for note in event.notes]
        assert len(all_notes) - sum(note.tied for note in all_notes) <= len(struck) <= len(all_notes)
        assert [moment.start for moment in timeline] == sorted(moment.start for moment in timeline)
        for moment in timeline:
            assert all(sound.start <= moment.start < sound.stops for sound in moment.held)
            strings = [sound.note.string for sound in moment.held if sound.note.string is not None]
            assert len(strings) == len(set(strings)), "a string sounds once at a time"
            assert all(isinstance(sound.stops, Fraction | int) for sound in moment.struck)
