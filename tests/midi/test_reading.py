"""MIDI files read: our own come back, and files made with mido are what they were made to be."""

from __future__ import annotations

from fractions import Fraction
from io import BytesIO
from random import Random

import mido
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tabtools.midi.reading import MidiReading, read_midi
from tabtools.midi.writing import write_midi
from tabtools.score import Score
from tabtools.source import Source, UnreadableError
from tabtools.text.reader import read_text
from tests.musicxml.samples import MELODY

# A file of one track, up to the track's length.
HEAD = bytes.fromhex("4d546864000000060000000101e04d54726b")


def made(notes: list[tuple[float, float, int]], *, resolution: int = 480, **track: object) -> bytes:
    """A file of notes given by onset and end in quarter notes and MIDI number."""
    file = mido.MidiFile(ticks_per_beat=resolution)
    messages = []
    for start, end, pitch in notes:
        messages.append((round(start * resolution), 1, mido.Message("note_on", note=pitch, **track)))
        messages.append((round(end * resolution), 0, mido.Message("note_off", note=pitch, **track)))
    now, written = 0, mido.MidiTrack()
    for tick, _, message in sorted(messages, key=lambda item: item[:2]):
        written.append(message.copy(time=tick - now))
        now = tick
    file.tracks.append(written)
    return saved(file)


def saved(file: mido.MidiFile) -> bytes:
    buffer = BytesIO()
    file.save(file=buffer)
    return buffer.getvalue()


def times(reading: MidiReading) -> list[tuple[Fraction, Fraction, int]]:
    """Onset and length in quarter notes and MIDI number of every note of the first part, ties joined not."""
    part = reading.score.parts[0]
    return [
        (start + event.onset, event.duration, note.pitch.midi)
        for start, bar in zip(part.starts, part.bars, strict=True)
        for event in bar.events
        for note in event.notes
        if note.pitch
    ]


def techniques(score: Score) -> list[list[str]]:
    """The techniques of each note of the first part, in words."""
    notes = [note for bar in score.parts[0].bars for event in bar.events for note in event.notes]
    return [[technique.word for technique in note.techniques] for note in notes]


def back(text: str) -> Score:
    return read_midi(write_midi(read_text(Source("page.txt", text)).score)).score


def test_a_melody_comes_back() -> None:
    assert [pitch for _, _, pitch in times(read_midi(write_midi(MELODY)))][:4] == [60, 61, 62, 63]


@pytest.mark.parametrize("actual", [2, 3, 4, 5, 6, 7, 8])
def test_tuplets_of_any_number(actual: int) -> None:
    notes = [(n / actual, (n + 1) / actual, 60 + n) for n in range(actual)]
    expected = [(Fraction(n, actual), Fraction(1, actual), 60 + n) for n in range(actual)]
    assert times(read_midi(made(notes, resolution=960))) == expected


def test_a_player_who_strays_by_a_hundredth_of_a_beat_is_understood_and_told() -> None:
    stray = Random(1)
    notes = [
        (max(0, n / 2 + stray.uniform(-0.012, 0.012)), n / 2 + 0.45 + stray.uniform(-0.02, 0.02), 60 + n)
        for n in range(16)
    ]
    reading = read_midi(made(notes))
    assert [onset for onset, _, _ in times(reading)] == [Fraction(n, 2) for n in range(16)]
    assert [length for _, length, _ in times(reading)][:15] == [Fraction(1, 2)] * 15
    assert any("as when somebody plays" in remark for remark in reading.remarks)


def test_strings_come_back_from_channels() -> None:
    text = "Time: 4/4\n   q  q  h\nB|-8b10----10~--|\nG|----9--------|\n"
    notes = [note for bar in back(text).parts[0].bars for e in bar.events for note in e.notes]
    assert [(note.string, note.fret, [t.word for t in note.techniques]) for note in notes] == [
        (2, 8, ["bend:2"]),
        (3, 9, []),
        (2, 10, ["vibrato"]),
    ]


@pytest.mark.parametrize("mark", ["5/8", "5b7r5", "5pb7", "5b6"])
def test_movements_of_pitch_come_back(mark: str) -> None:
    text = f"Time: 4/4\n   {'h' + ' ' * len(mark) if '/' not in mark else 'h h'}\nB|-{mark}------|\n"
    source = read_text(Source("page.txt", text)).score
    words = [[t.word for t in n.techniques] for b in source.parts[0].bars for e in b.events for n in e.notes]
    after = [
        [t.word for t in n.techniques] for b in back(text).parts[0].bars for e in b.events for n in e.notes
    ]
    assert after == words


def test_metre_key_tempo_and_name_come_back() -> None:
    score = back("Title: Small wheel\nKey: F# minor\nTime: 6/8\nTempo: 91\n\nG|-6--------|-4--------|\n")
    bar = score.parts[0].bars[0]
    assert (bar.time.name, bar.key and bar.key.name) == ("6/8", "F# minor")
    assert bar.tempo is not None
    assert bar.tempo.per_minute * bar.tempo.beat == 91
    assert score.title == "Small wheel"


def test_a_note_over_a_bar_line_is_tied() -> None:
    bars = read_midi(made([(0, 1, 60), (3, 5, 62)])).score.parts[0].bars
    events = [event for bar in bars for event in bar.events]
    assert [float(event.duration) for event in events] == [1, 2, 1, 1, 3]
    assert [[note.tied for note in event.notes] for event in events] == [[False], [], [False], [True], []]


def test_a_low_string_that_only_a_note_tells_is_told() -> None:
    reading = read_midi(made([(0, 1, 38), (1, 2, 45)]))
    assert reading.score.parts[0].instrument.tuning[-1].name == "D2"
    assert reading.remarks == ("part Guitar: notes down to D2, so the strings are taken as D A D G B E",)


def test_percussion_is_left_out_and_told() -> None:
    file = mido.MidiFile(file=BytesIO(made([(0, 1, 60)])))
    file.tracks.append(mido.MidiTrack([mido.Message("note_on", channel=9, note=38, velocity=90)]))
    assert read_midi(saved(file)).remarks == ("1 stroke of percussion has no pitch: left out",)


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"MThd and no more", "can't be read as MIDI"),
        (
            bytes.fromhex("4d546864000000060000000101e04d54726b0000000f00903c5affffff7f803c0000ff2f00"),
            "quarter notes",
        ),
        (bytes.fromhex("4d546864000000060000000101e04d54726b0000000400ff2f00"), "has no notes"),
    ],
)
def test_what_cannot_be_read_is_refused_at_once(data: bytes, words: str) -> None:
    with pytest.raises(UnreadableError, match=words):
        read_midi(data)


@settings(max_examples=150, deadline=None)
@given(st.binary(max_size=200))
def test_any_bytes_are_read_or_refused(tail: bytes) -> None:
    try:
        read_midi(HEAD + len(tail).to_bytes(4, "big") + tail)
    except UnreadableError:
        return


@settings(max_examples=80, deadline=None)
@given(
    st.lists(st.tuples(st.integers(0, 40), st.integers(1, 12), st.integers(40, 76)), min_size=1, max_size=25)
)
def test_every_note_of_a_plain_file_is_read(raw: list[tuple[int, int, int]]) -> None:
    """Sixteenths, one note at a time on each pitch."""
    free: dict[int, int] = {}
    notes = []
    for start, length, pitch in sorted(raw):
        if start >= free.get(pitch, 0):
            notes.append((start / 4, (start + length) / 4, pitch))
            free[pitch] = start + length
    reading = read_midi(made(notes))
    struck = [
        (start + event.onset, note.pitch.midi)
        for part in reading.score.parts
        for start, bar in zip(part.starts, part.bars, strict=True)
        for event in bar.events
        for note in event.notes
        if note.pitch and not note.tied
    ]
    assert sorted(struck) == sorted((Fraction(start), pitch) for start, _, pitch in notes)
