"""Notation gets tab and tab gets notation, in the file itself; checked by the schema and by music21."""

from __future__ import annotations

import re
from io import BytesIO

import pytest
from lxml import etree
from music21 import converter
from music21.harmony import Harmony

from tabtools.document import Document
from tabtools.instrument import GUITAR
from tabtools.lint.example_line import LINE as BASS
from tabtools.musicxml.reader import read_musicxml
from tabtools.preparing import Wishes, prepared
from tests.xsd import problems

TUNE = """\
<?xml version="1.0" encoding="UTF-8"?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">
<!-- a remark before everything -->
<score-partwise version="4.0">
  <part-list><score-part id="P1"><part-name>Tune</part-name></score-part></part-list>
  <part id="P1">
    <measure number="1" width="200">
      <print new-system="yes"/>
      <attributes>
        <divisions>6</divisions>
        <key><fifths>1</fifths></key>
        <time><beats>3</beats><beat-type>4</beat-type></time>
        <clef><sign>G</sign><line>2</line></clef>
        <transpose><diatonic>0</diatonic><chromatic>0</chromatic><octave-change>-1</octave-change></transpose>
      </attributes>
      <harmony><root><root-step>G</root-step></root><kind>major</kind></harmony>
      <note default-x="10"><grace slash="yes"/><pitch><step>A</step><octave>4</octave></pitch><voice>1</voice><type>eighth</type></note>
      <note><pitch><step>B</step><octave>4</octave></pitch><duration>6</duration><voice>1</voice><type>quarter</type><notations><slur type="start" number="1"/></notations><lyric><text>la</text></lyric></note>
      <note><pitch><step>C</step><octave>5</octave></pitch><duration>2</duration><voice>1</voice><type>eighth</type><time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification><notations><slur type="stop" number="1"/></notations></note>
      <note><rest/><duration>4</duration><voice>1</voice><type>quarter</type><time-modification><actual-notes>3</actual-notes><normal-notes>2</normal-notes></time-modification></note>
      <?remark kept?>
      <note><pitch><step>G</step><octave>4</octave></pitch><duration>6</duration><tie type="start"/><voice>1</voice><type>quarter</type><notations><tied type="start"/></notations></note>
      <note><chord/><pitch><step>B</step><octave>4</octave></pitch><duration>6</duration><voice>1</voice><type>quarter</type></note>
      <backup><duration>18</duration></backup>
      <note><pitch><step>G</step><octave>3</octave></pitch><duration>18</duration><voice>2</voice><type>half</type><dot/></note>
    </measure>
    <measure number="2">
      <note><pitch><step>G</step><octave>4</octave></pitch><duration>18</duration><tie type="stop"/><voice>1</voice><type>half</type><dot/><notations><tied type="stop"/></notations></note>
      <barline location="right"><bar-style>light-heavy</bar-style></barline>
    </measure>
  </part>
</score-partwise>
"""  # noqa: E501
BOTH = Wishes(both_staves=True)


def _read(text: str) -> Document:
    return read_musicxml("tune.musicxml", text.encode())


def _both(text: str) -> Document:
    return prepared(_read(text), BOTH)[0]


def test_a_tune_gets_a_tab_staff() -> None:
    made = _both(TUNE)
    assert problems(made.source.text.encode()) == []
    assert made.doubts == ()
    notes = [note for bar in made.score.parts[0].bars for event in bar.events for note in event.notes]
    assert len(notes) == 7
    for note in notes:
        assert note.string is not None
        assert note.fret is not None
        assert note.pitch is not None
        assert GUITAR.midi(note.string, note.fret) == note.pitch.midi


def test_the_music_is_the_same_with_tab() -> None:
    def essence(document: Document) -> list[object]:
        return [
            (bar.number, event.onset, event.duration, event.grace, note.pitch and note.pitch.midi, note.tied)
            for bar in document.score.parts[0].bars
            for event in bar.events
            for note in event.notes
        ]

    assert essence(_both(TUNE)) == essence(_read(TUNE))


def test_what_was_there_stays_where_it_was() -> None:
    """Every line of the old file is in the new one, in order, but for staff numbers put into its notes."""
    bare = re.sub(r'<staff>\d</staff>| number="1"(?=>)', "", _both(TUNE).source.text)
    lines = iter(bare.split("\n"))
    for line in TUNE.split("\n"):
        if "</clef>" in line or "</time>" in line or "</key>" in line or "<transpose>" in line:
            continue  # these lines get company
        assert any(line == other for other in lines), line


def test_music21_hears_the_same_on_both_staves() -> None:
    """The tab staff is checked by an independent reader: same pitches, same places."""
    text = _both(TUNE).source.text
    # music21 leaves the number of <transpose> out of account, so that the tab comes an octave low there.
    score = converter.parse(text, format="musicxml")
    notation, tab = (
        sorted(
            (float(e.getOffsetInHierarchy(part)), float(e.quarterLength), p.midi)
            for e in part.recurse().notes
            if not isinstance(e, Harmony)
            for p in e.pitches
        )
        for part in score.parts
    )
    assert [(a, b) for a, b, _ in notation] == [(a, b) for a, b, _ in tab]
    assert {(n[2] - t[2]) % 12 for n, t in zip(notation, tab, strict=True)} == {0}


def test_tab_alone_gets_a_notation_staff() -> None:
    made = _both(BASS)
    assert problems(made.source.text.encode()) == []
    root = etree.parse(BytesIO(made.source.text.encode())).getroot()
    assert [note.findtext("staff") for note in root.iter("note")] == ["2", "1"]
    assert [clef.findtext("sign") for clef in root.iter("clef")] == ["TAB", "F"]
    assert [note.findtext("pitch/step") for note in root.iter("note")] == ["A", "A"]


def test_a_tab_note_without_a_pitch_gets_one() -> None:
    bare = BASS.replace("<pitch><step>A</step><octave>1</octave></pitch>", "<unpitched/>")
    assert _both(bare).source.text == _both(BASS).source.text


def test_both_staves_are_given_once() -> None:
    once = _both(TUNE)
    assert prepared(once, BOTH)[0].source.text == once.source.text


def test_out_of_range_is_told_and_moved_on_request() -> None:
    high = TUNE.replace("<octave-change>-1", "<octave-change>2")
    made, remarks = prepared(_read(high), BOTH)
    assert problems(made.source.text.encode()) == []
    assert any("stay off the tab; --fit-octave" in remark for remark in remarks)
    moved, remarks = prepared(_read(high), Wishes(both_staves=True, fit_octave=True))
    assert remarks == ()
    assert problems(moved.source.text.encode()) == []


def test_a_timewise_file_gets_its_tab_too() -> None:
    bars = re.findall(r"(?s)<measure.*?</measure>", TUNE)
    inner = [re.sub(r"</?measure[^>]*>", "", bar) for bar in bars]
    outer = [re.findall(r"<measure[^>]*>", bar)[0] for bar in bars]
    timewise = "".join(f'{o}<part id="P1">{i}</part></measure>' for o, i in zip(outer, inner, strict=True))
    text = re.sub(r"(?s)<part id.*</part>", timewise, TUNE).replace("score-partwise", "score-timewise")
    text = re.sub(r"<!DOCTYPE[^>]*>", "", text)
    made = _both(text)
    assert problems(made.source.text.encode()) == []
    assert "<score-timewise" in made.source.text
    assert len(made.score.parts[0].bars) == 2


@pytest.mark.parametrize("wishes", [Wishes(), Wishes(tab=True), BOTH])
def test_an_empty_part_is_no_trouble(wishes: Wishes) -> None:
    text = re.sub(r"(?s)<note.*?</note>|<backup>.*?</backup>", "", TUNE)
    assert prepared(_read(text), wishes)[1] == ()
