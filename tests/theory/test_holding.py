"""Ringing notes. The lengths are counted by hand on the page that each test shows."""

from __future__ import annotations

from hypothesis import given, settings

from tabtools.score import Score
from tabtools.source import Source
from tabtools.text.reader import read_text
from tabtools.theory.holding import hold
from tests.strategies import scores

PAGE = """\
Time: 4/4

  let ring--------|
e|-------0---0-----|-----------------|
B|-----1---1---1---|-1---1---1---1---|
G|---0-----------0-|-----------------|
D|-----------------|-----------------|
A|-3---------------|-3---------------|
E|-----------------|-----------------|
"""


def lengths(score: Score) -> list[tuple[float, int | None, float]]:
    """Onset, string and duration of every note of the first bar."""
    events = score.parts[0].bars[0].events
    return [(float(e.onset), note.string, float(e.duration)) for e in events for note in e.notes]


def test_a_note_rings_until_its_string_is_struck_or_the_bar_ends() -> None:
    held = hold(read_text(Source("page.txt", PAGE)).score)
    assert lengths(held) == [
        (0, 5, 4),
        (0.5, 3, 3),
        (1, 2, 1),
        (1.5, 1, 1),
        (2, 2, 1),
        (2.5, 1, 1.5),
        (3, 2, 1),
        (3.5, 3, 0.5),
    ]


def test_notes_that_are_not_let_ring_stay() -> None:
    score = read_text(Source("page.txt", PAGE.replace("let ring--------|", ""))).score
    assert hold(score) == score


def test_notes_of_one_chord_may_end_apart_and_stop_at_what_does_not_ring() -> None:
    page = "Time: 4/4\n\n  let ring-|\nB|-1---1-------1---|\nA|-3---------------|\n"
    held = hold(read_text(Source("page.txt", page)).score)
    assert lengths(held)[:2] == [(0, 2, 1), (0, 5, 3)]


@given(scores)
@settings(max_examples=40)
def test_nothing_is_lost_and_no_bar_grows(score: Score) -> None:
    for part, after in zip(score.parts, hold(score).parts, strict=True):
        for bar, held in zip(part.bars, after.bars, strict=True):
            assert held.length == bar.length
            assert sorted(repr(n) for e in held.events for n in e.notes) == sorted(
                repr(n) for e in bar.events for n in e.notes
            )
