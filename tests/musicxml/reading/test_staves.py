"""Staves, transpositions and instruments as others write them."""

from __future__ import annotations

import pytest

from tabtools.musicxml.reader import read_musicxml
from tabtools.musicxml.writer import write_musicxml
from tabtools.score import Note
from tests.musicxml.reading.support import TAB, bar_of, fretted, named, only_note, parsed, tone
from tests.musicxml.samples import MELODY


def test_a_melody_is_for_a_guitar_by_inference() -> None:
    part = read_musicxml("x", write_musicxml(MELODY)).score.parts[0]
    assert part.instrument.name == "Guitar"
    assert [mark.fact for mark in part.instrument.inferred] == ["tuning"]
    unnamed = parsed(tone("C4"), name="Oboe").score.parts[0].instrument
    assert (unnamed.name, unnamed.inferred[0].fact) == ("Guitar", "instrument")


def test_a_transposing_part_is_read_as_it_sounds() -> None:
    guitar = "<transpose><chromatic>0</chromatic><octave-change>-1</octave-change></transpose>"
    assert named(bar_of(parsed(tone("E3"), attributes=guitar))) == [["E2"]]
    clarinet = "<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>"
    assert named(bar_of(parsed(tone("C4") + tone("F#4"), attributes=clarinet))) == [
        ["Bb3"],
        ["E4"],
    ]


def test_a_transposition_without_a_staff_leaves_right_tab_alone() -> None:
    """Common in files whose transposition is meant for the notation staff only."""
    transpose = "<transpose><chromatic>0</chromatic><octave-change>-1</octave-change></transpose>"
    reading = parsed(tone("D4", after=fretted("")), attributes=TAB + transpose)
    assert only_note(reading).pitch == Note(3, 7, only_note(reading).pitch).pitch
    assert named(bar_of(reading)) == [["D4"]]


def test_a_capo_belongs_to_the_instrument() -> None:
    tab = TAB.replace("</staff-details>", "<capo>2</capo></staff-details>")
    instrument = parsed(tone("E4", after=fretted("")), attributes=tab).score.parts[0].instrument
    assert (instrument.capo, instrument.midi(3, 7)) == (2, 64)


def test_a_tab_staff_without_tuning_is_doubted() -> None:
    reading = parsed(tone("D4", after=fretted("")), attributes="<clef><sign>TAB</sign></clef>")
    assert [doubt.kind for doubt in reading.doubts] == ["tuning-missing"]
    assert reading.score.parts[0].instrument.inferred


@pytest.mark.parametrize("octave", [4, 5])
def test_notation_part_and_tab_part_are_one_part(octave: int) -> None:
    """Two parts with the same music, also when the notation is an octave too high."""
    start = '<score-partwise><part-list><score-part id="P1"><part-name>Lead</part-name></score-part>'
    notation = f'<part id="P1"><measure number="1">{tone(f"D{octave}")}</measure></part>'
    tab = (
        f'<part id="P2"><measure number="1"><attributes>{TAB}</attributes>{tone("D4", after=fretted(""))}'
        "</measure></part>"
    )
    data = f"{start}</part-list>{notation}{tab}</score-partwise>".encode()
    (part,) = read_musicxml("two", data).score.parts
    assert part.name == "Lead"
    (event,) = part.bars[0].events
    assert [(n.string, n.fret, n.pitch and n.pitch.name) for n in event.notes] == [(3, 7, "D4")]


def test_two_different_guitars_stay_two() -> None:
    tab = f"<attributes>{TAB}</attributes>"
    notation = f'<part id="P1"><measure number="1">{tone("C4")}</measure></part>'
    other = f'<part id="P2"><measure number="1">{tab}{tone("D4", after=fretted(""))}</measure></part>'
    assert (
        len(read_musicxml("x", f"<score-partwise>{notation}{other}</score-partwise>".encode()).score.parts)
        == 2
    )


def test_a_tab_note_without_an_original_is_kept() -> None:
    clefs = TAB.replace("<clef>", '<clef number="2">').replace(
        "<staff-details>", '<staff-details number="2">'
    )
    upper = tone("D4", 4, after="<voice>1</voice><staff>1</staff>")
    lower = tone("D4", after=f"<voice>5</voice><staff>2</staff>{fretted('')}")
    lower += tone("E4", after=f"<voice>5</voice><staff>2</staff>{fretted('', 2, 5)}")
    bar = bar_of(parsed(f"{upper}<backup><duration>4</duration></backup>{lower}", attributes=clefs))
    found = [
        (str(e.onset), str(e.duration), e.voice, [(n.string, n.fret) for n in e.notes]) for e in bar.events
    ]
    assert found == [("0", "2", 1, [(3, 7)]), ("1", "1", 1, [(2, 5)])]
