"""What is written as text tab reads back as the same music."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tabtools.instrument import GUITAR, TUNINGS, instrument_from
from tabtools.score import (
    ZERO,
    Bar,
    Event,
    Harmony,
    Instrument,
    Key,
    Note,
    Part,
    Score,
    Technique,
    Tempo,
    TimeSignature,
    Tuplet,
    Words,
)
from tabtools.source import Source, Span, UnreadableError
from tabtools.techniques import ordered
from tabtools.text.page.facts import tempo_named
from tabtools.text.reader import read_text
from tabtools.text.words.values import DURATIONS
from tabtools.text.writing.format import music
from tabtools.text.writing.losses import left_out, losses
from tabtools.text.writing.spacing import WIDTH
from tabtools.text.writing.tunings import row_labels, tuning_text
from tabtools.text.writing.writer import tempo_text, write_text
from tabtools.theory.spelling import spell
from tests import strategies

# Multiples of a thirty-second, so that what is left of a bar can always be filled.
VALUES = sorted(value for value in DURATIONS if value * 8 == int(value * 8))
# What a note that follows another on its string may carry; joins need that note.
ALONE = [
    (),
    (),
    (),
    (Technique("vibrato"),),
    (Technique("ghost"),),
    (Technique("harmonic"),),
    (Technique("bend", Fraction(2)),),
    (Technique("bend-release", Fraction(1)),),
    (Technique("prebend", Fraction(2)),),
    (Technique("bend", Fraction(3)),),
    (Technique("trill", Fraction(7)),),
    (Technique("tap"),),
]
# A mark over the strings is for all that is struck under it.
ABOVE = [None, None, None, "palm-mute", "let-ring", "pinch", "rake"]
JOINED = [*ALONE, (Technique("hammer"),), (Technique("pull"),), (Technique("slide"),)]


@st.composite
def bars(draw: st.DrawFn, number: int, time: TimeSignature, key: Key | None, instrument: Instrument) -> Bar:
    """A bar that letters can write: one voice, plain and dotted values, rests."""
    events: list[Event] = []
    now = ZERO
    # The fret last struck on a string, which a tie may hold; None for one that is dead or bent away.
    played: dict[int, int | None] = {}
    while now < time.length:
        value = draw(st.sampled_from([value for value in VALUES if now + value <= time.length]))
        strings = draw(st.lists(st.integers(1, len(instrument.tuning)), unique=True, max_size=3))
        above = draw(st.sampled_from(ABOVE))
        notes = []
        for string in sorted(strings):
            fret = draw(st.none() | st.integers(0, 22))
            tied = played.get(string) is not None and draw(st.integers(0, 9)) == 0
            fret = played[string] if tied else fret
            words = draw(st.sampled_from(JOINED if string in played else ALONE))
            # In brackets, the first note of a bar may be held over, and the goal of a bend is.
            if words == (Technique("ghost"),) and (not events or string in played):
                words = ()
            if fret is None or tied:
                words = (Technique("dead"),) if fret is None else ()
            if above:
                words = ordered((*words, Technique(above)))
            pitch = None if fret is None else spell(instrument.midi(string, fret), key)
            finger = draw(st.sampled_from([None, None, "1", "2", "3", "4"])) if fret else None
            notes.append(Note(string, fret, pitch, words, finger, tied))
            bent = any("bend" in word.name for word in words)
            played[string] = None if bent else fret
        events.append(Event(now, value, tuple(notes)))
        now += value
    # What stands over the first note of a bar holds from its beginning.
    placed = [event.onset if index else ZERO for index, event in enumerate(e for e in events if e.notes)]
    chords = draw(st.lists(st.sampled_from(["C", "Am7", "F#m7b5", "D/F#", "Bb", "N.C."]), max_size=3))
    remarks = draw(st.lists(st.sampled_from(["softly", "let it sing", "5th position"]), max_size=2))
    return Bar(
        number,
        time,
        key,
        tuple(_with_grace(draw, events)),
        tuple(Harmony(onset, name) for onset, name in zip(placed, chords, strict=False)),
        tuple(reversed([Words(onset, text) for onset, text in zip(placed[::-1], remarks, strict=False)])),
    )


def _with_grace(draw: st.DrawFn, events: list[Event]) -> Iterator[Event]:
    """The events, now and then one with a grace note before it that it is hammered on from."""
    for event in events:
        if (
            len(event.notes) == 1
            and event.notes[0].techniques == (Technique("hammer"),)
            and draw(st.booleans())
        ):
            note = event.notes[0]._replace(techniques=(Technique("grace"),), finger=None)
            yield Event(event.onset, ZERO, (note,), grace=True)
        yield event


@st.composite
def parts(draw: st.DrawFn, name: str | None, keys: list[Key | None]) -> Part:
    instrument = instrument_from(draw(st.sampled_from(TUNINGS)), draw(st.sampled_from([0, 0, 2, 5])))
    key = draw(st.sampled_from(keys))
    metres = [TimeSignature(*metre) for metre in ((4, 4), (3, 4), (6, 8), (5, 4))]
    time = draw(st.sampled_from(metres))
    made = []
    for number in range(1, draw(st.integers(1, 5)) + 1):
        made.append(draw(bars(number, time, key, instrument)))
        section = draw(st.sampled_from([None, None, None, "Intro", "Verse 2", "A"]))
        made[-1] = made[-1]._replace(section=section)
        time = draw(st.sampled_from([time, time, *metres]))
    if draw(st.booleans()):
        made[0] = made[0]._replace(repeat_start=True)
        made[-1] = made[-1]._replace(repeat_times=draw(st.sampled_from([2, 3])))
        if len(made) > 1:
            made[-1] = made[-1]._replace(endings=(1,))
            made.append(draw(bars(len(made) + 1, made[-1].time, key, instrument))._replace(endings=(2,)))
    return Part(name or instrument.name, instrument, tuple(made))


@st.composite
def scores(draw: st.DrawFn) -> Score:
    names: list[str | None] = draw(st.sampled_from([[None], [None], ["Lead", "Rhythm"]]))
    # A part that says no key has that of the page.
    keys: list[Key | None] = draw(
        st.sampled_from([[None], [Key("G", 0, "major"), Key("E", -1, "major"), Key("F", 1, "minor")]])
    )
    made = [draw(parts(name, keys)) for name in names]
    tempo = st.builds(
        Tempo, st.integers(40, 240).map(Fraction), st.sampled_from([Fraction(1), Fraction(3, 2)])
    )
    # The tempo is the page's too.
    beat = draw(st.none() | tempo)
    made = [p._replace(bars=(p.bars[0]._replace(tempo=beat), *p.bars[1:])) for p in made]
    return Score(tuple(made), draw(st.none() | st.just("A study")))


@given(scores())
@settings(max_examples=120)
def test_written_text_reads_back_as_the_same_score(score: Score) -> None:
    text = write_text(score)
    document = read_text(Source("written", text))
    assert all(doubt.remark for doubt in document.doubts)
    assert losses(score, text) == (), text
    same = music(document.score) == music(score)
    assert same, text


@given(scores())
@settings(max_examples=50)
def test_lines_stay_within_the_width_where_a_bar_does(score: Score) -> None:
    for line in write_text(score).split("\n"):
        assert len(line) <= WIDTH or line.count("|") <= 3


@pytest.mark.parametrize("tuning", TUNINGS, ids=lambda tuning: f"{tuning.instrument} {tuning.names[0]}")
def test_every_tuning_of_the_table_survives_as_header_and_as_labels(tuning: object) -> None:
    row = next(row for row in TUNINGS if row is tuning)
    instrument = instrument_from(row)
    bar = Bar(1, events=(Event(ZERO, Fraction(4), (Note(1, 3, None),)),))
    score = Score((Part(instrument.name, instrument, (bar,)),))
    read = read_text(Source("tuning", write_text(score))).score.parts[0].instrument
    assert (read.name, read.tuning) == (instrument.name, instrument.tuning)


@pytest.mark.parametrize(("size", "sign"), [("1/2", "1/4"), ("3/2", "¾"), ("5/2", "1¼"), ("7/2", "1¾")])
def test_a_bend_of_a_fraction_is_written_over_the_strings(size: str, sign: str) -> None:
    bend = Technique("bend", Fraction(size))
    bar = Bar(1, events=(Event(ZERO, Fraction(4), (Note(2, 8, spell(67, None), (bend,)),)),))
    text = write_text(Score((Part("Guitar", GUITAR, (bar,)),)))
    assert sign in text.split()
    read = read_text(Source("curl", text)).score.parts[0].bars[0]
    assert read.events[0].notes[0].techniques == (bend,)
    assert read.time == bar.time


def test_a_change_of_metre_reads_back() -> None:
    note = Note(1, 5, spell(69, None))
    times = (TimeSignature(4, 4), TimeSignature(3, 4), TimeSignature(6, 8))
    bars = tuple(
        Bar(number, time, events=(Event(ZERO, time.length, (note,)),)) for number, time in enumerate(times, 1)
    )
    read = read_text(Source("metres", write_text(Score((Part("Guitar", GUITAR, bars),))))).score
    assert [bar.time for bar in read.parts[0].bars] == list(times)


def test_a_pickup_reads_back() -> None:
    note = Note(1, 5, spell(69, None))
    bars = (
        Bar(1, events=(Event(ZERO, Fraction(1), (note,)),), pickup=True),
        Bar(2, events=(Event(ZERO, Fraction(4), (note,)),)),
    )
    read = read_text(Source("pickup", write_text(Score((Part("Guitar", GUITAR, bars),))))).score
    assert [bar.pickup for bar in read.parts[0].bars] == [True, False]
    assert music(read.parts[0].bars) == music(bars)


def test_parts_of_one_instrument_stay_apart_whatever_their_names() -> None:
    bars = (Bar(1, events=(Event(ZERO, Fraction(4), (Note(1, 5, spell(69, None)),)),)),)
    names = ["Soprano", "Gtr 2 (rhythm)", "Guitar", "Guitar"]
    text = write_text(Score(tuple(Part(name, GUITAR, bars) for name in names)))
    read = read_text(Source("parts", text)).score
    assert [part.name for part in read.parts] == ["Soprano", "Gtr 2 (rhythm)", "Guitar", "Guitar 2"]
    assert all(music(part.bars) == music(bars) for part in read.parts)


def test_every_part_has_its_own_header() -> None:
    bass = instrument_from(next(row for row in TUNINGS if row.instrument == "Bass"))
    capo = GUITAR._replace(capo=3)
    made = []
    for instrument, key, time in (
        (GUITAR, Key("G", 0, "major"), TimeSignature(4, 4)),
        (bass, Key("E", 0, "minor"), TimeSignature(3, 4)),
        (capo, None, TimeSignature(6, 8)),
    ):
        pitch = spell(instrument.midi(1, 5), key)
        event = Event(ZERO, time.length, (Note(1, 5, pitch),))
        made.append(Part(f"{instrument.name} in {time.name}", instrument, (Bar(1, time, key, (event,)),)))
    score = Score(tuple(made))
    assert music(read_text(Source("parts", write_text(score))).score) == music(score)


def test_voices_are_put_together() -> None:
    low = Note(6, 0, spell(40, None))
    high = [Note(1, fret, spell(64 + fret, None)) for fret in (5, 7)]
    events = (
        Event(ZERO, Fraction(2), (high[0],)),
        Event(ZERO, Fraction(4), (low,), voice=2),
        Event(Fraction(2), Fraction(2), (high[1],)),
    )
    text = write_text(Score((Part("Guitar", GUITAR, (Bar(1, events=events),)),)))
    bar = read_text(Source("voices", text)).score.parts[0].bars[0]
    assert [[(n.string, n.fret) for n in event.notes] for event in bar.events] == [[(1, 5), (6, 0)], [(1, 7)]]
    assert [event.duration for event in bar.events] == [2, 2]


def test_notes_none_of_which_has_a_place_on_the_neck_are_refused() -> None:
    bar = Bar(1, events=(Event(ZERO, Fraction(4), (Note(None, None, spell(60, None)),)),))
    with pytest.raises(UnreadableError, match="none of the notes has a string and fret"):
        write_text(Score((Part("Flute", GUITAR, (bar,)),)))


def test_notes_without_a_string_are_left_out_and_named() -> None:
    low, high = Note(None, None, spell(38, None)), Note(1, 5, spell(69, None))
    chord = Event(ZERO, Fraction(2), (high, low))
    bars = (Bar(1, events=(chord, Event(Fraction(2), Fraction(2), (low,)))), Bar(2, events=(chord,)))
    score = Score((Part("Guitar", GUITAR, bars),))
    text = write_text(score)
    read = read_text(Source("written", text)).score.parts[0].bars
    assert [[(n.string, n.fret) for e in bar.events for n in e.notes] for bar in read] == [[(1, 5)], [(1, 5)]]
    assert left_out(score) == "3 of 5 notes have no string and are left out: D2 D2 in bar 1, D2 in bar 2"
    assert "3 of 5 notes" in losses(score, text)
    assert left_out(Score((Part("Guitar", GUITAR, read),))) is None


def test_letters_alone_name_a_tuning_where_they_read_back() -> None:
    assert tuning_text(GUITAR) == "E A D G B E"
    odd = GUITAR._replace(tuning=tuple(pitch._replace(octave=pitch.octave - 1) for pitch in GUITAR.tuning))
    assert tuning_text(odd) == "E1 A1 D2 G2 B2 E3"


@pytest.mark.parametrize("beat", ["1/2", "3/4", "1", "3/2", "2", "3"])
def test_every_beat_of_a_tempo_reads_back(beat: str) -> None:
    tempo = Tempo(Fraction(72), Fraction(beat), Span(0, 0))
    assert tempo_named(tempo_text(tempo)) == (tempo.per_minute, tempo.beat)


def test_labels_are_of_one_width() -> None:
    flat = instrument_from(next(row for row in TUNINGS if "half step down" in row.names))
    assert row_labels(flat) == ["eb", "Bb", "Gb", "Db", "Ab", "Eb"]
    assert row_labels(GUITAR) == ["e", "B", "G", "D", "A", "E"]


def test_triplets_are_said_by_spacing() -> None:
    third = Fraction(1, 3)
    frets = (5, 7, 8, 7, 5, 7, 8, 7, 5, 7, 8, 10)
    events = tuple(
        Event(index * third, third, (Note(1, fret, spell(64 + fret, None)),))
        for index, fret in enumerate(frets)
    )
    score = Score((Part("Guitar", GUITAR, (Bar(1, events=events),)),))
    read = read_text(Source("triplets", write_text(score))).score
    assert [event.onset for event in read.parts[0].bars[0].events] == [event.onset for event in events]


@pytest.mark.parametrize("text", ["x2", "Am", "3/4", "1.", "q", "[Solo]", "Capo: 5", "PM", "full"])
def test_a_remark_that_would_read_as_something_else_is_quoted(text: str) -> None:
    note = Note(1, 5, spell(69, None))
    events = tuple(Event(Fraction(beat), Fraction(1), (note,)) for beat in range(4))
    bar = Bar(1, events=events, words=(Words(Fraction(2), text),))
    score = Score((Part("Guitar", GUITAR, (bar,)),))
    read = read_text(Source("remark", write_text(score))).score.parts[0]
    assert read.bars[0].words[0].text == f'"{text}"'
    assert read.bars[0].words[0].onset == 2
    assert music(read.bars[0]._replace(words=())) == music(bar._replace(words=()))
    assert losses(score, write_text(score)) == ("1 of 1 remarks",)


def test_what_text_cannot_hold_is_named() -> None:
    low = Note(6, 0, spell(40, None))
    high = Note(1, 5, spell(69, None))
    events = (
        Event(ZERO, Fraction(2, 3), (high,), tuplet=Tuplet(3, 2)),
        Event(ZERO, Fraction(4), (low,), voice=2),
        Event(Fraction(2, 3), Fraction(10, 3), (high,)),
    )
    score = Score((Part("Guitar", GUITAR, (Bar(1, events=events),)),))
    named = losses(score, write_text(score))
    assert named == ("1 of 3 notes", "3 of 3 note lengths", "1 of 1 second voices", "1 of 1 tuplet marks")


def test_a_wide_part_is_cut_into_lines_of_one_width() -> None:
    note = Note(1, 5, spell(69, None))
    bars = tuple(
        Bar(number, events=tuple(Event(Fraction(at), Fraction(1), (note,)) for at in range(4)))
        for number in range(1, 7)
    )
    text = write_text(Score((Part("Guitar", GUITAR, bars),)), width=80)
    assert [line.count("5") for line in text.splitlines() if line.startswith("e|")] == [12, 12]


@given(strategies.scores)
@settings(max_examples=40)
def test_any_score_with_a_place_for_every_note_is_written_and_can_be_read(score: Score) -> None:
    text = write_text(score)
    read_text(Source("written", text))
    losses(score, text)


def test_a_long_mark_spreads_only_the_notes_that_it_has_no_room_over() -> None:
    ringing = Technique("let-ring")
    events = tuple(
        Event(Fraction(at, 2), Fraction(1, 2), (Note(1, at, spell(64 + at, None), (ringing,)),))
        for at in range(8)
    )
    page = write_text(Score((Part("Guitar", GUITAR, (Bar(1, events=events), Bar(2, events=events))),)))
    rows = [line for line in page.splitlines() if line.startswith("e|")]
    assert len(rows) == 1
    assert "let ring-" in page
