"""The order of playing, against music21's expansion of repeats (music21.repeat.Expander)."""

from __future__ import annotations

from fractions import Fraction

import pytest
from music21 import bar as m21bar
from music21 import note, repeat, spanner, stream

from tabtools.instrument import GUITAR
from tabtools.playing import Pass, played
from tabtools.score import Bar, Event, Part

SIGNS = {
    "segno": repeat.Segno,
    "coda": repeat.Coda,
    "fine": repeat.Fine,
    "to-coda": repeat.Coda,
    "da-capo": repeat.DaCapo,
    "da-capo-al-fine": repeat.DaCapoAlFine,
    "da-capo-al-coda": repeat.DaCapoAlCoda,
    "dal-segno": repeat.DalSegno,
    "dal-segno-al-fine": repeat.DalSegnoAlFine,
    "dal-segno-al-coda": repeat.DalSegnoAlCoda,
}
AT_END = ("fine", "to-coda")


def part(text: str) -> Part:
    """A part from a word a bar: ``|:`` opens a repeat, ``:|3`` ends it, ``[1,2]`` are endings; signs."""
    bars: list[Bar] = []
    for number, word in enumerate(text.split(), 1):
        marks = word.split("+")
        closing = [mark for mark in marks if mark.startswith(":|")]
        endings = [mark for mark in marks if mark.startswith("[")]
        bars.append(
            Bar(
                number,
                events=(Event(Fraction(0), Fraction(4)),),
                repeat_start="|:" in marks,
                repeat_times=int(closing[0][2:] or 2) if closing else 0,
                endings=tuple(int(n) for n in endings[0].strip("[]").split(",")) if endings else (),
                navigation=tuple(mark for mark in marks if mark in SIGNS),
            )
        )
    return Part("Guitar", GUITAR, tuple(bars))


def expanded(music: Part) -> list[int]:
    """The bars as music21 plays them, counted from 0."""
    result = stream.Part()
    groups: dict[tuple[int, int], list[stream.Measure]] = {}
    group = 0
    for number, written in enumerate(music.bars):
        measure = stream.Measure(number=number)
        measure.append(note.Note(midi=40 + number, quarterLength=4.0))
        if written.repeat_start:
            measure.leftBarline = m21bar.Repeat(direction="start")
        if written.repeat_times:
            measure.rightBarline = m21bar.Repeat(direction="end", times=written.repeat_times)
        for sign in written.navigation:
            mark = SIGNS[sign]()
            measure.append(mark) if sign in AT_END or "da" in sign else measure.insert(0, mark)
        if written.endings:
            groups.setdefault((group, written.endings[0]), []).append(measure)
        else:
            group += 1
        result.append(measure)
    for (_, ending), measures in groups.items():
        result.insert(0, spanner.RepeatBracket(measures, number=ending))
    return [int(tone.pitch.midi) - 40 for tone in repeat.Expander(result).process().flatten().notes]


@pytest.mark.parametrize(
    "text",
    [
        "- - -",
        "|: - :| -",
        "- |: - :|3 - |: :|",
        "|: - [1]+:| [2] -",
        "- |: - [1]+:| [2] - |: - [1]+:| [2]",
        "|: [1]+:| [2]+:| [3] -",
        "- fine - da-capo-al-fine",
        "- segno - dal-segno -",
        "segno fine dal-segno-al-fine",
        "- segno fine - dal-segno-al-fine",
    ],
)
def test_as_music21_expands(text: str) -> None:
    music = part(text)
    assert [step.bar for step in played(music)] == expanded(music)


def test_al_coda_leaves_at_the_first_sign_and_goes_on_at_the_second() -> None:
    """Common practice, no source."""
    music = part("- to-coda - da-capo-al-coda coda -")
    assert [step.bar for step in played(music)] == [0, 1, 2, 3, 0, 1, 4, 5]


def test_after_a_jump_repeats_are_not_played_again_and_the_last_ending_is_taken() -> None:
    """Common practice, no source."""
    music = part("|: - [1]+:| [2]+fine - da-capo-al-fine")
    assert [step.bar for step in played(music)] == [0, 1, 2, 0, 1, 3, 4, 5, 0, 1, 3]


def test_an_end_without_a_beginning_goes_back_to_the_end_before() -> None:
    """Common practice, no source; music21 goes back to the very beginning."""
    assert [step.bar for step in played(part("- :| - :|"))] == [0, 1, 0, 1, 2, 3, 2, 3]


def test_a_pass_says_which_time_it_is() -> None:
    assert played(part("|:+:|3 -")) == (Pass(0, 1), Pass(0, 2), Pass(0, 3), Pass(1, 1))


def test_an_ending_of_several_passes() -> None:
    assert [step.bar for step in played(part("|: [1,2]+:|3 [3] -"))] == [0, 1, 0, 1, 0, 2, 3]
