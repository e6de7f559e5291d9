"""partitura reads the same sounding pitches from both staves. A module of its own: its import is slow."""

from __future__ import annotations

import warnings
from collections import Counter
from pathlib import Path

import pytest

from tabtools.musicxml.writer import write_musicxml
from tabtools.score import Instrument, Note
from tests.musicxml.essence import joined
from tests.musicxml.lessons import LESSONS
from tests.musicxml.samples import SAMPLES

partitura = pytest.importorskip("partitura")


def _midi(note: Note, instrument: Instrument) -> int:
    if note.pitch is not None:
        return note.pitch.midi
    assert note.string is not None
    return instrument.midi(note.string, 0)


SCORES = {**SAMPLES, **LESSONS}


@pytest.mark.parametrize("name", SCORES)
def test_partitura_hears_the_same_on_both_staves(name: str, tmp_path: Path) -> None:
    file = tmp_path / "sample.musicxml"
    file.write_bytes(write_musicxml(SCORES[name]))
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # It warns of every direction that it does not know.
        parts = partitura.load_musicxml(str(file)).parts
    for part, read in zip(SCORES[name].parts, parts, strict=True):
        found = read.note_array(include_staff=True)
        notes = [n for bar in part.bars for event in joined(bar) for n in event.notes]
        expected = Counter(_midi(note, part.instrument) for note in notes)
        staves = (1, 2) if any(note.string for note in notes) else (1,)
        for staff in staves:
            heard = Counter(int(row["pitch"]) for row in found if row["staff"] == staff)
            if any(note.tied for note in notes) or b"<tie " in file.read_bytes():
                # It pairs ties by pitch alone and mixes up the two staves: how often is not compared then.
                assert set(heard) == set(expected)
            else:
                assert heard == expected
