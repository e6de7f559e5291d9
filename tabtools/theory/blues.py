"""Whether music calls itself a blues: there the flat third, fifth and seventh are at home."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.score import Key, Score
from tabtools.theory.chord import Chord
from tabtools.theory.line_of_fifths import pitch_class, place


def says_blues(score: Score) -> bool:
    """Whether the title or a section has the word."""
    names = [score.title, *(bar.section for part in score.parts for bar in part.bars)]
    return any("blues" in name.lower() for name in names if name)


def has_blues_chords(key: Key, chords: Iterable[Chord | None]) -> bool:
    """Whether the chords on the first and the fourth degree are both dominant sevenths."""
    tonic = place(key.step, key.alter)
    roots = {
        place(chord.root_step, chord.root_alter) - tonic
        for chord in chords
        if chord and chord.quality.kind.startswith("dominant")
    }
    return {0, -1} <= roots  # in fifths


def blue_notes(key: Key) -> frozenset[int]:
    """The pitch classes of a key's flat third, fifth and seventh."""
    tonic = pitch_class(place(key.step, key.alter))
    return frozenset((tonic + step) % 12 for step in (3, 6, 10))
