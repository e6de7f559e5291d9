"""To music21 and back, and the formats it reads: what it says itself is the truth here."""

from __future__ import annotations

import subprocess
import sys
from collections.abc import Iterator
from fractions import Fraction
from io import BytesIO
from pathlib import Path

import pytest
from music21 import articulations, chord, converter, harmony, meter, midi, note, stream

from tabtools.interop import from_music21, to_music21
from tabtools.interop.files import format_by_suffix, read_foreign, write_midi
from tabtools.interop.formats import format_by_content
from tabtools.score import Score
from tabtools.source import UnreadableError
from tests.musicxml.samples import LICK, MELODY, REPEATS, SAMPLES

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


def test_midi_has_the_notes_and_plays_the_repeats() -> None:
    file = midi.MidiFile()
    file.openFileLike(BytesIO(write_midi(REPEATS)))
    file.read()
    struck = [e.pitch for t in file.tracks for e in t.events if e.isNoteOn() and e.velocity]
    # The pickup, then three passes: bars 2 and 3 twice, bars 2 and 4 the third time; then bar 5.
    assert [p for p in struck if p is not None] == [67, 69, 71, 69, 71, 69, 72, 60, 62]


def test_midi_is_the_same_bytes_each_time() -> None:
    code = (
        "from tests.musicxml.samples import LICK; from tabtools.interop.files import write_midi; "
        "import sys; sys.stdout.buffer.write(write_midi(LICK))"
    )
    root = Path(__file__).parents[2]
    runs = {
        subprocess.run(
            [sys.executable, "-c", code],
            cwd=root,
            env={"PYTHONHASHSEED": seed, "PYTHONPATH": str(root)},
            check=True,
            capture_output=True,
        ).stdout
        for seed in ("1", "2")
    }
    assert runs == {write_midi(LICK)}


def test_midi_of_a_melody_comes_back() -> None:
    data = write_midi(MELODY)
    assert format_by_content(data) == "midi"
    back = read_foreign(data, "midi")
    assert [n.pitch.midi for e in back.parts[0].bars[0].events for n in e.notes if n.pitch] == [
        60,
        61,
        62,
        63,
    ]


def test_what_music21_cannot_read() -> None:
    with pytest.raises(UnreadableError, match="music21 cannot read this as midi"):
        read_foreign(b"MThd nothing more", "midi")


@pytest.mark.parametrize(
    ("name", "kind"),
    [("a.mid", "midi"), ("a.krn", "humdrum"), ("a.abc", "abc"), ("a", None), ("a.zzz", None)],
)
def test_suffixes(name: str, kind: str | None) -> None:
    assert format_by_suffix(name) == kind


@pytest.mark.parametrize("data", [b"e|--0--|\n", b"<score-partwise/>", b"X marks: 1\n", b""])
def test_our_own_formats_are_left_to_us(data: bytes) -> None:
    assert format_by_content(data) is None


def test_chord_symbols_are_no_notes_in_midi() -> None:
    """music21 would realise them as chords of long notes beside the melody."""
    tune = read_foreign(ABC, "abc")
    assert [harmony.symbol for bar in tune.parts[0].bars for harmony in bar.harmonies] == ["D", "A7", "D"]
    file = midi.MidiFile()
    file.openFileLike(BytesIO(write_midi(tune)))
    file.read()
    struck = [event for track in file.tracks for event in track.events if event.isNoteOn()]
    notes = sum(len(event.notes) for bar in tune.parts[0].bars for event in bar.events)
    assert len(struck) == 2 * notes  # the repeat is played


def test_what_names_no_title_has_none() -> None:
    """music21 writes a title and a composer of its own where there are none."""
    score = read_foreign(KERN, "humdrum")
    assert (score.title, score.composer) == (None, None)
