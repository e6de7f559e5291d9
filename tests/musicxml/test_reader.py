"""MusicXML to a score: whole files."""

from __future__ import annotations

import pytest

from tabtools.musicxml.package import pack
from tabtools.musicxml.reader import read_musicxml
from tabtools.musicxml.writer import write_musicxml
from tests.musicxml.essence import essence
from tests.musicxml.reading.support import bar_of, named, parsed, tone
from tests.musicxml.samples import LICK, SAMPLES


@pytest.mark.parametrize("name", SAMPLES)
def test_the_samples_come_back(name: str) -> None:
    reading = read_musicxml(name, write_musicxml(SAMPLES[name]))
    assert essence(reading.score) == essence(SAMPLES[name])
    assert reading.doubts == ()


def test_spans_are_those_of_the_elements() -> None:
    reading = read_musicxml("x", b"\xef\xbb\xbf" + write_musicxml(LICK))
    text = reading.source.text
    bar = bar_of(reading)
    assert text[bar.spans[0].start : bar.spans[0].end].startswith('<measure number="1">')
    assert text[bar.spans[0].start : bar.spans[0].end].endswith("</measure>")
    for event in bar.events:
        for note in event.notes:
            assert note.span is not None
            found = text[note.span.start : note.span.end]
            assert found.startswith("<note>")
            assert found.endswith("</note>")
            assert f"<string>{note.string}</string><fret>{note.fret}</fret>" in found
    assert bar.tempo is not None
    harmony, words, tempo = bar.harmonies[0].span, bar.words[0].span, bar.tempo.span
    for span, tag in ((harmony, "harmony"), (words, "direction"), (tempo, "direction")):
        assert span is not None
        assert text[span.start : span.end].startswith(f"<{tag}")


def test_spans_pass_over_comments_and_long_files() -> None:
    """Lines beyond 65535 overflow a line counter of 16 bits."""
    filler = "<!-- <note> -->\n" * 70_000
    reading = parsed(filler + tone("C4") + "<![CDATA[ ]]>" + tone("D4"))
    second = bar_of(reading).events[1].notes[0].span
    assert second is not None
    assert reading.source.position(second.start)[0] == 70_001
    assert "<step>D</step>" in reading.source.text[second.start : second.end]


def test_a_package_is_opened() -> None:
    assert essence(read_musicxml("lick.mxl", pack(write_musicxml(LICK))).score) == essence(LICK)


def test_a_timewise_score_is_read_as_partwise() -> None:
    data = (
        '<score-timewise><part-list><score-part id="P1"><part-name>One</part-name></score-part></part-list>'
        f'<measure number="1"><part id="P1">{tone("C4")}</part><part id="P2">{tone("E4")}</part></measure>'
        f'<measure number="2"><part id="P1">{tone("D4")}</part><part id="P2">{tone("F4")}</part></measure>'
        "</score-timewise>"
    )
    reading = read_musicxml("x", data.encode())
    assert [[named(bar) for bar in part.bars] for part in reading.score.parts] == [
        [[["C4"]], [["D4"]]],
        [[["E4"]], [["F4"]]],
    ]
    second = reading.score.parts[0].bars[1].events[0].span
    assert second is not None
    assert "<step>D</step>" in reading.source.text[second.start : second.end]
    assert reading.score.parts[1].bars[0].spans == reading.score.parts[0].bars[0].spans != ()
    assert reading.located is not None
    assert [part.identity for part in reading.located.parts] == ["P1", "P2"]


def test_title_and_composer() -> None:
    head = (
        "<movement-title>A  song</movement-title><identification>"
        '<creator type="lyricist">x</creator><creator type="composer">me</creator></identification>'
    )
    score = parsed(tone("C4"), head=head).score
    assert (score.title, score.composer) == ("A song", "me")
