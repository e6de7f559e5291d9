from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tabtools.instrument import GUITAR
from tabtools.reading import read
from tabtools.score import Bar, Event, Harmony, Note, Part, Quarters, Score
from tabtools.theory.key import parse_key
from tabtools.theory.respelling import respell
from tabtools.theory.spelling import spell


def _page(header: str, chord: str, frets: str) -> str:
    cells = "".join(f"-{fret}--" for fret in frets.split())
    rows = [f"{label}|{cells if label == 'D' else '-' * len(cells)}|" for label in "eBGDAE"]
    return "\n".join([header, "", f"   {chord}", *rows, ""])


@pytest.mark.parametrize(
    ("header", "chord", "frets", "names"),
    [
        ("Key: D major", "Dm7", "3", "F"),  # E# by the key alone
        ("Key: D major", "D7", "4", "F#"),
        ("Key: C major", "E7", "6", "G#"),
        ("Key: C major", "Fm", "6", "Ab"),
        ("Key: A major", "A", "6 7 8", "G# A A#"),
        ("Title: Kitchen blues\nKey: A major", "A7", "10 1 5", "C Eb G"),
        ("Key: G major\nCapo: 2", "F#", "1", "F"),
        ("Key: G major", "G", "8 7 8 9", "Bb A A# B"),  # falls, rises
        ("Key: G major", "G", "8 8 7 8", "Bb Bb A Bb"),
        ("Key: E major", "E", "5 6 5", "G G# G"),
        ("Key: A minor", "Am", "7 6 5", "A G# G"),
        ("Key: A minor", "Am", "2 1 0 1 2", "E Eb D D# E"),
    ],
)
def test_names_a_teacher_gives(header: str, chord: str, frets: str, names: str) -> None:
    score = respell(read("page.txt", _page(header, chord, frets).encode()).score)
    found = [note.pitch.letter for e in score.parts[0].bars[0].events for note in e.notes if note.pitch]
    assert found == names.split()


@given(
    st.lists(st.integers(40, 88), min_size=1, max_size=12),
    st.sampled_from(["C major", "F# major", "Eb minor", "A minor"]),
    st.sampled_from(["C", "Cb7", "G#dim7", "B#", "N.C.", "no chord"]),
    st.booleans(),
)
def test_the_sound_stays(midis: list[int], key: str, chord: str, blues: bool) -> None:
    named = parse_key(key)
    events = tuple(
        Event(Quarters(at), Quarters(1), (Note(None, None, spell(midi, named)),))
        for at, midi in enumerate(midis)
    )
    bar = Bar(1, key=named, events=events, harmonies=(Harmony(Quarters(0), chord),))
    score = respell(Score((Part("Lead", GUITAR, (bar,)),), title="A blues" if blues else None))
    notes = [note for event in score.parts[0].bars[0].events for note in event.notes]
    assert [note.pitch.midi for note in notes if note.pitch] == midis
    assert respell(score) == score
