"""The lesson repository in ``samples/`` reads as it was meant, and gives the findings that it should.

``cases/samples/expected.json`` holds, for every file, what its header says, the lengths of its events bar by
bar, and its findings as ``line:column severity rule``. Headers and lengths were written from the music; the
findings are recorded, and their colour and outside notes agree with a separate count by bar, string and
fret. Lengths are letters as in a duration row, ``r`` for a rest; ``e3`` is an eighth of a triplet.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from itertools import accumulate
from pathlib import Path
from typing import Any

import pytest

from tabtools.musicxml.writer import write_musicxml
from tabtools.reading import read
from tabtools.score import Bar, Part, Score
from tabtools.theory.chord import parse_chord, pitch_classes
from tests.cli.support import run
from tests.known_findings import found_and_known

_ROOT = Path(__file__).parents[1]
_SAMPLES = _ROOT / "samples"
_EXPECTED: dict[str, dict[str, Any]] = json.loads(
    (_ROOT / "tests/cases/samples/expected.json").read_text("utf-8")
)
_LESSONS = sorted(name for name in _EXPECTED if not name.startswith("drafts/"))
_TEXTS = sorted(name for name in _EXPECTED if name.endswith(".txt"))
_LENGTHS = {
    "w": Fraction(4),
    "h": Fraction(2),
    "q": Fraction(1),
    "e": Fraction(1, 2),
    "s": Fraction(1, 4),
    "e3": Fraction(1, 3),
}


@cache
def _score(name: str) -> Score:
    return read(name, (_SAMPLES / name).read_bytes()).score


def _part(name: str) -> Part:
    (part,) = _score(name).parts
    return part


def _length(letter: str) -> Fraction:
    plain = _LENGTHS[letter.removesuffix("r").removesuffix(".")]
    return plain * Fraction(3, 2) if "." in letter else plain


def _checked() -> list[dict[str, Any]]:
    result = run("check", _SAMPLES, "--report", "json")
    assert result.exit_code == 1
    findings: list[dict[str, Any]] = json.loads(result.stdout)["findings"]
    return findings


def test_every_lesson_file_is_expected_and_the_readme_is_none() -> None:
    found = {path.relative_to(_SAMPLES).as_posix() for path in _SAMPLES.rglob("*") if path.is_file()}
    assert found == {*_EXPECTED, "README.md", "sheet.svg"}


def test_the_findings_are_exactly_these() -> None:
    assert found_and_known(_checked()) == []


def test_lessons_are_clean_and_drafts_are_not() -> None:
    severities: dict[bool, set[str]] = {True: set(), False: set()}
    for item in _checked():
        severities[Path(item["path"]).parent.name == "drafts"].add(item["severity"])
    assert severities == {True: {"error", "warning", "info"}, False: {"info"}}


def test_lessons_are_in_canonical_layout() -> None:
    result = run("format", "--tell", *(_SAMPLES / name for name in _LESSONS if name.endswith(".txt")))
    assert (result.exit_code, result.stdout, result.stderr) == (0, "0 files would be rewritten\n", "")


@pytest.mark.parametrize("name", _EXPECTED)
def test_the_header_is_read(name: str) -> None:
    expected = _EXPECTED[name]
    part = _part(name)
    assert _score(name).title == expected["title"]
    assert _score(name).composer == "Runa Thistlewood"
    assert " ".join(pitch.name for pitch in reversed(part.instrument.tuning)) == expected["tuning"]
    assert part.instrument.capo == expected["capo"]
    assert {bar.key.name for bar in part.bars if bar.key} == {expected["key"]}
    assert {bar.time.name for bar in part.bars} == {expected["time"]}
    assert len(part.bars) == expected["bars"]
    assert part.bars[0].tempo is not None


@pytest.mark.parametrize("name", _EXPECTED)
def test_the_rhythm_is_the_one_that_is_meant(name: str) -> None:
    for bar, letters in zip(_part(name).bars, _EXPECTED[name]["rhythm"], strict=True):
        lengths = [_length(letter) for letter in letters.split()]
        onsets = [Fraction(), *accumulate(lengths)][:-1]
        rests = [letter.endswith("r") for letter in letters.split()]
        expected = list(zip(onsets, lengths, rests, strict=True))
        assert [(e.onset, e.duration, not e.notes) for e in bar.events] == expected, bar.number


@pytest.mark.parametrize("name", _LESSONS)
def test_every_bar_of_a_lesson_adds_up(name: str) -> None:
    for bar in _part(name).bars:
        assert sum(event.duration for event in bar.events) == bar.time.length, bar.number


def test_the_lessons_show_what_they_promise() -> None:
    """Every technique that the README of the samples names occurs, and so does a repeat with endings."""
    bars = [bar for name in _LESSONS for bar in _part(name).bars]
    played = {t.name for bar in bars for event in bar.events for note in event.notes for t in note.techniques}
    wanted = "hammer pull slide bend bend-release vibrato pinch harmonic palm-mute let-ring dead"
    assert set(wanted.split()) <= played
    assert {bar.endings for bar in bars} == {(), (1,), (2,)}
    assert {bar.repeat_times for bar in bars} == {0, 2, 4}


# An outside check: music21 reads the MusicXML that is written, and its score is compared with ours.


def _starts(part: Part) -> Iterator[tuple[Bar, Fraction]]:
    now = Fraction()
    for bar in part.bars:
        yield bar, now
        now += bar.length


@pytest.mark.parametrize("name", _TEXTS)
def test_music21_reads_the_same_notes_and_chords(name: str) -> None:
    from music21 import converter, harmony

    part = _part(name)
    read = converter.parse(write_musicxml(_score(name)), format="musicxml", forceSource=True)
    staff = read.parts[0].stripTies().flatten()
    found = [
        (Fraction(thing.offset), Fraction(thing.quarterLength), _heard(thing))
        for thing in staff.notes
        if not isinstance(thing, harmony.ChordSymbol)
    ]
    assert found == [
        (start + event.onset, event.duration, sorted(note.pitch.midi for note in event.notes if note.pitch))
        for bar, start in _starts(part)
        for event in bar.events
        if event.notes
    ]
    symbols = [
        (Fraction(symbol.offset), symbol.root().pitchClass, set(symbol.pitchClasses))
        for symbol in staff.getElementsByClass(harmony.ChordSymbol)
    ]
    assert symbols == list(_chords(part))


def _heard(thing: Any) -> list[int]:
    """MIDI numbers of the notes of music21's chord or single note; dead ones, drawn as crosses, have none."""
    notes = thing.notes if thing.isChord else (thing,)
    return sorted(note.pitch.midi for note in notes if note.notehead != "x")


def _chords(part: Part) -> Iterator[tuple[Fraction, int, set[int]]]:
    """Time, root and notes of every chord symbol of a part."""
    for bar, start in _starts(part):
        for symbol in bar.harmonies:
            chord = parse_chord(symbol.symbol)
            assert chord is not None
            root = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}[chord.root_step]
            yield start + symbol.onset, (root + chord.root_alter) % 12, set(pitch_classes(chord))
