"""Hand-written pages against the reading of a careful person."""

from __future__ import annotations

import contextlib
import json
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tabtools.document import Document
from tabtools.score import Key, Part
from tabtools.source import Source, UnreadableError, decode
from tabtools.text.reader import read_text

WILD = Path(__file__).parent.parent / "cases" / "wild"
NAMES = sorted(path.stem for path in WILD.glob("*.txt"))

# What each problem word of the cases must show up as.
FINDINGS = {"barline-shift": "misaligned-barline", "barline-gap": "misaligned-barline"}


def read(name: str) -> Document:
    return read_text(decode(name, (WILD / f"{name}.txt").read_bytes()))


def expected(name: str) -> dict[str, Any]:
    loaded: dict[str, Any] = json.loads((WILD / f"{name}.expect.json").read_text("utf-8"))
    return loaded


def notes(part: Part) -> list[list[Any]]:
    """``[bar, order, string, fret, techniques]`` of every note."""
    found = []
    for bar in part.bars:
        struck = [event for event in bar.events if event.notes]
        for order, event in enumerate(struck):
            for note in event.notes:
                words = [t.word for t in note.techniques] + (["tie"] if note.tied else [])
                found.append([bar.number, order, note.string, note.fret, "+".join(sorted(words)) or None])
    return found


def facts(part: Part) -> dict[str, Any]:
    first = part.bars[0]
    return {
        "tuning": [pitch.midi for pitch in reversed(part.instrument.tuning)],
        "capo": part.instrument.capo,
        "time": first.time.name,
        "bars": len(part.bars),
        "notes": notes(part),
    }


@pytest.mark.parametrize("name", NAMES)
def test_reads_a_page_as_a_careful_person_does(name: str) -> None:
    want = expected(name)
    got = facts(read(name).score.parts[0])
    assert got == {field: want[field] for field in got}


@pytest.mark.parametrize("name", NAMES)
def test_reads_chord_names_as_written(name: str) -> None:
    part = read(name).score.parts[0]
    assert [[bar.number, h.symbol] for bar in part.bars for h in bar.harmonies] == expected(name)["chords"]


@pytest.mark.parametrize("name", [name for name in NAMES if expected(name)["key"]])
def test_reads_the_key(name: str) -> None:
    key = read(name).score.parts[0].bars[0].key
    assert key is not None
    assert key.name == expected(name)["key"]


@pytest.mark.parametrize("name", [name for name in NAMES if "tempo" in expected(name)])
def test_reads_the_tempo(name: str) -> None:
    tempo = read(name).score.parts[0].bars[0].tempo
    assert tempo is not None
    assert tempo.per_minute == expected(name)["tempo"]


@pytest.mark.parametrize("name", [name for name in NAMES if "durations" in expected(name)])
def test_reads_written_durations(name: str) -> None:
    part = read(name).score.parts[0]
    got = {
        (bar.number, order): event.duration
        for bar in part.bars
        for order, event in enumerate(event for event in bar.events if event.notes)
    }
    for bar, order, quarters in expected(name)["durations"]:
        assert got[bar, order] == Fraction(quarters), (bar, order)


@pytest.mark.parametrize("name", NAMES)
def test_notices_what_is_wrong_and_nothing_else(name: str) -> None:
    want = {FINDINGS[word] for word in expected(name)["problems"] if word in FINDINGS}
    assert {doubt.kind for doubt in read(name).doubts} == want


@pytest.mark.parametrize("name", [name for name in NAMES if "repeats" in expected(name)])
def test_reads_repeats(name: str) -> None:
    bars = read(name).score.parts[0].bars
    starts = [bar.number for bar in bars if bar.repeat_start]
    ends = [(bar.number, bar.repeat_times) for bar in bars if bar.repeat_times]
    assert [[start, *end] for start, end in zip(starts, ends, strict=True)] == expected(name)["repeats"]


@pytest.mark.parametrize("name", [name for name in NAMES if "sections" in expected(name)])
def test_reads_sections(name: str) -> None:
    bars = read(name).score.parts[0].bars
    assert [[bar.number, bar.section] for bar in bars if bar.section] == expected(name)["sections"]


def test_every_stacked_guitar_is_a_part() -> None:
    want = expected("24-two-guitars-stacked")["parts"]
    got = read("24-two-guitars-stacked").score.parts
    assert [notes(part) for part in got] == [part["notes"] for part in want]
    assert [part.name for part in got] == ["Gtr 1 (lead)", "Gtr 2 (rhythm)"]


def test_every_note_knows_its_characters() -> None:
    document = read("08-arpeggio-shapes-line-numbers")
    for part in document.score.parts:
        for note in (n for bar in part.bars for event in bar.events for n in event.notes):
            assert note.span is not None
            assert document.source.text[note.span.start : note.span.end] == str(note.fret)


def test_a_page_without_tab_is_refused_with_the_reason() -> None:
    with pytest.raises(UnreadableError, match="no tab found"):
        read_text(Source("notes.txt", "Dear student,\n\nplay slowly - and then less slowly.\n"))


TAB_LIKE = st.text(st.sampled_from("-|0123456789hpb/\\rsxt()<>[]~*=:.eBGDAE \n\r\tPM&#"), max_size=300)


@given(st.one_of(TAB_LIKE, st.text(max_size=200)))
@settings(max_examples=300, deadline=None)
def test_no_text_makes_the_reader_fail(text: str) -> None:
    """Whatever it is given, it reads it or says why not."""
    try:
        document = read_text(Source("any", text))
    except UnreadableError:
        return
    for doubt in document.doubts:
        assert 0 <= doubt.span.start <= doubt.span.end <= len(text)


@given(st.binary(max_size=200))
@settings(max_examples=200, deadline=None)
def test_no_bytes_make_it_fail(data: bytes) -> None:
    with contextlib.suppress(UnreadableError):
        read_text(decode("any", data))


def test_key_is_used_to_spell() -> None:
    page = "Key: {}\n\ne|-2---|\nB|-----|\nG|-----|\nD|-----|\nA|-----|\nE|-----|\n"
    for key, name in (("G", "F#4"), ("Db", "Gb4")):
        part = read_text(Source("spelling", page.format(key))).score.parts[0]
        pitch = part.bars[0].events[0].notes[0].pitch
        assert pitch is not None
        assert pitch.name == name
        assert part.bars[0].key == Key(key[0], -1 if "b" in key else 0, "major")
