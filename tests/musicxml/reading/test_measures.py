"""Bars as others write them: key, metre, words, chord symbols, repeats."""

from __future__ import annotations

from fractions import Fraction

import pytest

from tabtools.musicxml.reader import read_musicxml
from tabtools.score import Key, TimeSignature
from tests.musicxml.reading.support import SHARP_NINE, bar_of, parsed, tone


def test_key_and_time() -> None:
    key = "<key><fifths>-1</fifths><mode>minor</mode></key>"
    time = "<time><beats>3+2</beats><beat-type>8</beat-type></time>"
    bar = bar_of(parsed(tone("C4"), attributes=key + time))
    assert (bar.key, bar.time) == (Key("D", 0, "minor"), TimeSignature(5, 8))
    plain = bar_of(parsed(tone("C4"), attributes="<key><fifths>1</fifths></key>"))
    assert plain.key == Key("G", 0, "major")
    assert [mark.fact for mark in plain.inferred] == ["mode"]


def test_free_time_is_as_long_as_its_notes() -> None:
    reading = parsed(tone("C4", 7), attributes="<time><senza-misura/></time>")
    assert bar_of(reading).time.length == Fraction(7, 2)
    assert [mark.fact for mark in bar_of(reading).inferred] == ["metre"]


def test_sections_words_and_tempo() -> None:
    marks = (
        "<direction><direction-type><rehearsal>B</rehearsal></direction-type></direction>"
        "<direction><direction-type><words>let</words><words>it sing</words></direction-type>"
        "<offset>1</offset></direction>"
        "<direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>c. 96</per-minute>"
        "</metronome></direction-type></direction>"
    )
    bar = bar_of(parsed(marks + tone("C4")))
    assert bar.section == "B"
    assert [(words.onset, words.text) for words in bar.words] == [(Fraction(1, 2), "let it sing")]
    assert bar.tempo is not None
    assert (bar.tempo.per_minute, bar.tempo.beat) == (Fraction(96), Fraction(1))
    sounded = bar_of(parsed('<sound tempo="72.5"/>' + tone("C4"))).tempo
    assert sounded is not None
    assert sounded.per_minute == Fraction(145, 2)


@pytest.mark.parametrize(
    ("harmony", "symbol"),
    [
        ("<root><root-step>C</root-step></root><kind>major-seventh</kind>", "Cmaj7"),
        ('<root><root-step>C</root-step></root><kind text="△7">major-seventh</kind>', "C△7"),
        ('<root><root-step>C</root-step></root><kind text="">minor</kind>', "Cm"),
        ('<root><root-step text="">C</root-step></root><kind text="N.C.">none</kind>', "N.C."),
        (
            "<root><root-step>B</root-step></root><kind>dominant</kind><bass><bass-step>D</bass-step></bass>",
            "B7/D",
        ),
        (f'<root><root-step>E</root-step></root><kind text="7">dominant</kind>{SHARP_NINE}', "E7#9"),
        ("<root><root-step>A</root-step></root><kind>Tristan</kind>", "A(Tristan)"),
    ],
)
def test_chord_symbols(harmony: str, symbol: str) -> None:
    assert [h.symbol for h in bar_of(parsed(f"<harmony>{harmony}</harmony>" + tone("C4"))).harmonies] == [
        symbol
    ]


def test_repeats_endings_and_pickup() -> None:
    left = '<barline location="left"><ending number="1, 3" type="start"/></barline>'
    right = (
        '<barline location="right"><ending number="1" type="stop"/><repeat direction="backward" times="4"/>'
        "</barline>"
    )
    reading = parsed(
        tone("C4", 8),
        left + tone("C4", 8),
        tone("D4", 8),
        tone("E4", 8) + right,
        tone("C4", 8),
    )
    assert [bar.endings for bar in reading.score.parts[0].bars] == [(), (1, 3), (1, 3), (1, 3), ()]
    assert [bar.repeat_times for bar in reading.score.parts[0].bars] == [0, 0, 0, 4, 0]
    pickup = (
        f'<score-partwise><part id="P1"><measure number="0" implicit="yes">{tone("C4", 1)}</measure></part>'
    )
    bar = bar_of(read_musicxml("x", f"{pickup}</score-partwise>".encode()))
    assert (bar.pickup, bar.number, bar.label) == (True, 1, "0")
