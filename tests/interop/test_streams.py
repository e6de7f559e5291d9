"""To music21 and back, and the formats it reads: what it says itself is the truth here."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import pytest
from music21 import articulations, chord, converter, harmony, meter, note, stream

from tabtools.interop import from_music21, to_music21
from tabtools.interop.files import format_by_suffix, read_foreign
from tabtools.interop.formats import format_by_content
from tabtools.score import Score
from tests.musicxml.samples import LICK, SAMPLES

ABC = b"""\
X:1
T:Made for this test
M:3/4
L:1/8
K:D
|:"D" d2 f2 a2|"A7" g3 f e2|"D" d6:|
"""
KERN = b"**kern\n*M4/4\n4c\n4d\n8e\n8f\n4g\n*-\n"
MEI = (
    b'<?xml version="1.0"?><mei xmlns="http://www.music-encoding.org/ns/mei"><music><body><mdiv><score>'
    b'<scoreDef><staffGrp><staffDef n="1" lines="5" clef.shape="G" clef.line="2"/></staffGrp></scoreDef>'
    b'<section><measure n="1"><staff n="1"><layer n="1"><note pname="c" oct="4" dur="4"/></layer></staff>'
    b"</measure></section></score></mdiv></body></music></mei>"
)


def _places(score: Score) -> list[tuple[object, ...]]:
    return sorted(
        (number, bar.number, event.onset, n.pitch.midi, n.string, n.fret)
        for number, part in enumerate(score.parts)
        for bar in part.bars
        for event in bar.events
        for n in event.notes
        if n.pitch is not None and n.string is not None
    )


@pytest.mark.parametrize("name", SAMPLES)
def test_there_and_back_keeps_every_string_and_fret(name: str) -> None:
    score = SAMPLES[name]
    assert _places(from_music21(to_music21(score))) == _places(score)


def test_a_stream_has_sounding_pitches_and_places_on_each_note_of_a_chord() -> None:
    found = to_music21(LICK).parts[0].measure(1).recurse().getElementsByClass(chord.Chord)
    last = next(c for c in found if not isinstance(c, harmony.Harmony))
    places = {
        n.pitch.nameWithOctave: [
            m.number for m in n.articulations if isinstance(m, articulations.StringIndication)
        ]
        for n in last.notes
    }
    assert places == {"E4": [2], "A4": [1]}


def test_a_stream_made_by_hand() -> None:
    part = stream.Part([meter.TimeSignature("3/4"), note.Note("F#3", quarterLength=1.5), note.Rest(0.5)])
    part.append(chord.Chord(["C4", "E4"], quarterLength=1))
    score = from_music21(part)
    (bar,) = score.parts[0].bars
    assert [(e.onset, e.duration, [n.pitch and n.pitch.name for n in e.notes]) for e in bar.events] == [
        (0, Fraction(3, 2), ["F#3"]),
        (Fraction(3, 2), Fraction(1, 2), []),
        (2, 1, ["C4", "E4"]),
    ]
    assert all(event.span is None for event in bar.events)


def _heard(data: bytes, kind: str) -> Iterator[tuple[float, int]]:
    """Onset and pitch of every note as music21 reads them, repeats not played."""
    for element in converter.parseData(data.decode("latin-1"), format=kind).flatten().notes:
        if not isinstance(element, harmony.Harmony):
            yield from ((float(element.offset), p.midi) for p in element.pitches)


@pytest.mark.parametrize(("data", "kind"), [(ABC, "abc"), (KERN, "humdrum"), (MEI, "mei")])
def test_other_formats_as_music21_reads_them(data: bytes, kind: str) -> None:
    assert format_by_content(data) == kind
    found, start = [], 0.0
    for bar in read_foreign(data, kind).parts[0].bars:
        found += [(start + float(e.onset), n.pitch.midi) for e in bar.events for n in e.notes if n.pitch]
        start += float(bar.length)
    assert sorted(found) == sorted(_heard(data, kind))


@pytest.mark.parametrize(
    ("name", "kind"),
    [("a.mid", "midi"), ("a.krn", "humdrum"), ("a.abc", "abc"), ("a", None), ("a.zzz", None)],
)
def test_suffixes(name: str, kind: str | None) -> None:
    assert format_by_suffix(name) == kind


@pytest.mark.parametrize("data", [b"e|--0--|\n", b"<score-partwise/>", b"X marks: 1\n", b""])
def test_our_own_formats_are_left_to_us(data: bytes) -> None:
    assert format_by_content(data) is None


def test_what_names_no_title_has_none() -> None:
    """music21 writes a title and a composer of its own where there are none."""
    score = read_foreign(KERN, "humdrum")
    assert (score.title, score.composer) == (None, None)
