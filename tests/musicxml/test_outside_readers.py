"""music21 and verovio read what we write as we meant it, and our reader hears what music21 hears."""

from __future__ import annotations

from collections import Counter
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings
from lxml import etree

from tabtools.musicxml.reader import read_musicxml
from tabtools.musicxml.writer import write_musicxml
from tabtools.score import Bar, Instrument, Note, Score
from tests.benchmarks.corpus import own_inputs
from tests.musicxml.essence import joined
from tests.musicxml.lessons import LESSONS
from tests.musicxml.samples import SAMPLES
from tests.strategies import scores

music21 = pytest.importorskip("music21")
verovio = pytest.importorskip("verovio")

_MEI = "{http://www.music-encoding.org/ns/mei}"
_ID = "{http://www.w3.org/XML/1998/namespace}id"
_SEMITONES = {"c": 0, "d": 2, "e": 4, "f": 5, "g": 7, "a": 9, "b": 11}
_ACCIDENTALS = {"s": 1, "f": -1, "ss": 2, "x": 2, "ff": -2, "n": 0}

# A note as it is compared: bar, onset in the bar, sounding MIDI number.
Sound = tuple[int, float, int]


def _sounding(note: Note, instrument: Instrument) -> int:
    """The MIDI number of a note; a dead one has that of its open string."""
    if note.pitch is not None:
        return note.pitch.midi
    assert note.string is not None
    return instrument.midi(note.string, 0)


def _struck(bars: tuple[Bar, ...], instrument: Instrument) -> Counter[Sound]:
    """Every note that begins, and does not only go on."""
    return Counter(
        (place, round(float(event.onset), 4), _sounding(note, instrument))
        for place, bar in enumerate(bars)
        for event in joined(bar)
        for note in event.notes
        if not note.tied
    )


def _music21(data: bytes) -> list[Counter[Sound]]:
    """What music21 reads, staff by staff, as it sounds."""
    read = music21.converter.parse(data, format="musicxml", forceSource=True).toSoundingPitch()
    return [Counter(_music21_sounds(part)) for part in read.parts]


def _music21_sounds(part: Any) -> list[Sound]:
    found = []
    for place, measure in enumerate(part.getElementsByClass("Measure")):
        for sound in measure.recurse().notes:
            if isinstance(sound, music21.harmony.Harmony):
                continue
            onset = round(float(sound.getOffsetInHierarchy(measure)), 4)
            single = sound.notes if sound.isChord else [sound]
            found += [(place, onset, n.pitch.midi) for n in single if not n.tie or n.tie.type == "start"]
    return found


def _assert_music21_agrees(score: Score) -> None:
    staves = _music21(write_musicxml(score))
    for part in score.parts:
        expected = _struck(part.bars, part.instrument)
        unplaced = any(n.string is None for bar in part.bars for e in bar.events for n in e.notes)
        for _ in range(1 if unplaced else 2):
            assert staves.pop(0) == expected
    assert staves == []


@pytest.mark.parametrize("name", SAMPLES)
def test_music21_hears_the_same_on_both_staves(name: str) -> None:
    _assert_music21_agrees(SAMPLES[name])


@settings(max_examples=8, suppress_health_check=list(HealthCheck))
@given(scores)
def test_music21_hears_any_score_the_same(score: Score) -> None:
    _assert_music21_agrees(score)


def _mei_midi(note: etree._Element) -> int:
    accidentals = [note, *note.iter(f"{_MEI}accid")]
    signs = [value for e in accidentals for value in (e.get("accid.ges"), e.get("accid")) if value]
    shift = _ACCIDENTALS[signs[0]] if signs else 0
    return 12 * (int(note.get("oct", "0")) + 1) + _SEMITONES[note.get("pname", "")] + shift


SCORES = {**SAMPLES, **LESSONS}


@pytest.mark.parametrize("name", SCORES)
def test_verovio_shows_the_same_pitches_and_frets(name: str) -> None:
    """verovio keeps no pitches on a tab staff: there its strings and frets are compared."""
    score = SCORES[name]
    verovio.enableLog(verovio.LOG_OFF)
    toolkit = verovio.toolkit()
    assert toolkit.loadData(write_musicxml(score).decode())
    mei = etree.fromstring(toolkit.getMEI({}).encode())
    held = {tie.get("endid", "").removeprefix("#") for tie in mei.iter(f"{_MEI}tie")}
    shown: list[Counter[Any]] = []
    for staff in mei.iter(f"{_MEI}staff"):
        number = int(staff.get("n", "1"))
        shown += [Counter() for _ in range(number - len(shown))]
        for note in staff.iter(f"{_MEI}note"):
            fret = note.get("tab.fret")
            place = (int(note.get("tab.course", "0")), int(fret)) if fret is not None else _mei_midi(note)
            shown[number - 1][place] += note.get(_ID) not in held
    for part in score.parts:
        notes = [note for bar in part.bars for event in joined(bar) for note in event.notes]
        struck = Counter(_sounding(note, part.instrument) for note in notes if not note.tied)
        assert +shown.pop(0) == struck
        if any(note.string for note in notes):
            # Ties are not shown on a tab staff, so there the places are compared, not how often they come.
            assert set(shown.pop(0)) == {(note.string, note.fret or 0) for note in notes}
    assert shown == []


def test_every_input_of_music21s_own_tests_is_read_and_written() -> None:
    """The MusicXML files with which music21 tests itself, some odd on purpose; none is copied here."""
    files = own_inputs()
    if not files:
        pytest.skip("music21 is installed without its test inputs")
    for path in files:
        document = read_musicxml(path.name, path.read_bytes())
        assert document.score.parts, path.name
        assert write_musicxml(document.score)


# Files inside the music21 package, read where they are; a package installed without them skips the test.
_FILES = (
    "corpus/liliuokalani/aloha_oe.mxl",
    "corpus/bach/bwv66.6.mxl",
    "corpus/ciconia/quod_jactatur.xml",
    "corpus/leadSheet/fosterBrownHair.mxl",
)


@pytest.mark.parametrize("path", _FILES)
def test_our_reader_hears_what_music21_hears(path: str) -> None:
    spec = find_spec("music21")
    assert spec is not None
    assert spec.origin is not None
    file = Path(spec.origin).parent / path
    if not file.exists():
        pytest.skip("music21 is installed without this file")
    ours: Counter[Sound] = Counter()
    for part in read_musicxml(file.name, file.read_bytes()).score.parts:
        ours += _struck(part.bars, part.instrument)
    read = music21.converter.parse(file, forceSource=True).toSoundingPitch()
    assert ours == sum((Counter(_music21_sounds(part)) for part in read.parts), Counter())
