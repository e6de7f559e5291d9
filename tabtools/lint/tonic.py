"""The key that the chords of a part tell: by where they begin and end, by a cadence, by the notes they have.

Each candidate is weighed in nats against the written key; the evidence is told with the key.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from tabtools.record import NamedTuple
from tabtools.score import Bar, Key
from tabtools.theory.chord import Chord, parse_chord, pitch_classes
from tabtools.theory.inference import melody
from tabtools.theory.key import pitch_classes as key_pitch_classes
from tabtools.theory.key import plainest_key
from tabtools.theory.line_of_fifths import pitch_class, place

# What each sign of a key is worth in nats; our own values, chosen on the pages of tests/cases/judgement.
_BEGINS, _ENDS, _CADENCE, _FOREIGN_CHORD, _FOREIGN_NOTE = 1.5, 2.5, 1.5, 1.0, 0.25
_FEWEST, _FEWEST_NOTES = 3, 12  # changes of chord, notes of a melody without chords
_MELODY = 4.0  # the most that a melody alone can tell: it begins and ends where it likes
_MODES = ("major", "minor")


class KeyTold(NamedTuple):
    """A key that explains a part better than the written one, by ``gain`` nats, and why in words."""

    key: Key
    gain: float
    why: str


def key_told(bars: Sequence[Bar], written: Key, above: int) -> KeyTold | None:
    """The key that the chords of some bars tell, where it is not the written one. ``above`` is what the notes
    sound above the shapes: with a capo the notes say nothing about a key of shapes."""
    chords = _changes(bars)
    notes = [] if above else [midi % 12 for bar in bars for midi, _ in melody(bar.events)]
    if written.mode not in _MODES or (len(chords) < _FEWEST and len(notes) < _FEWEST_NOTES):
        return None
    here = _weight(written, chords, notes)
    candidates = [plainest_key(tonic, mode) for tonic in range(12) for mode in _MODES]
    best = max(candidates, key=lambda key: _weight(key, chords, notes))
    if _tonic(best) == _tonic(written) and (best.mode == written.mode or len(chords) < _FEWEST):
        return None
    gain = _weight(best, chords, notes) - here
    return KeyTold(best, gain if len(chords) >= _FEWEST else min(gain, _MELODY), _why(best, chords))


def _changes(bars: Sequence[Bar]) -> list[Chord]:
    """The chords of some bars in order, each once for as long as it stays."""
    found = [parse_chord(harmony.symbol) for bar in bars for harmony in bar.harmonies]
    chords = [chord for chord in found if chord is not None and chord.quality.degrees]
    return [
        chord for before, chord in pairwise([None, *chords]) if chord is not None and not _same(before, chord)
    ]


def _same(before: Chord | None, chord: Chord) -> bool:
    return before is not None and before.text == chord.text


def _tonic(key: Key) -> int:
    return pitch_class(place(key.step, key.alter))


def _root(chord: Chord) -> int:
    return pitch_class(place(chord.root_step, chord.root_alter))


def _is_tonic(chord: Chord, key: Key) -> bool:
    return _root(chord) == _tonic(key) and ("b3" in chord.quality.degrees) == (key.mode == "minor")


def _is_dominant(chord: Chord, key: Key) -> bool:
    return _root(chord) == (_tonic(key) + 7) % 12 and "3" in chord.quality.degrees


def _weight(key: Key, chords: Sequence[Chord], notes: Sequence[int]) -> float:
    inside = key_pitch_classes(key)
    if key.mode == "minor":
        inside |= {(_tonic(key) + 11) % 12}
    if len(chords) < _FEWEST:
        weight = _BEGINS * (notes[0] == _tonic(key)) + _ENDS * (notes[-1] == _tonic(key))
        return weight - _FOREIGN_NOTE * sum(note not in inside for note in notes)
    weight = _BEGINS * _is_tonic(chords[0], key) + _ENDS * _is_tonic(chords[-1], key)
    cadence = any(_is_dominant(one, key) and _is_tonic(two, key) for one, two in pairwise(chords))
    weight += _CADENCE * cadence
    weight -= _FOREIGN_CHORD * sum(not pitch_classes(chord) <= inside for chord in chords)
    return weight - _FOREIGN_NOTE * sum(note not in inside for note in notes)


def _why(key: Key, chords: Sequence[Chord]) -> str:
    """The signs of a key that some chords show, or the melody where there are too few."""
    if len(chords) < _FEWEST:
        return f"the melody turns about {key.name.split()[0]}, where it begins or ends"
    signs = []
    if _is_tonic(chords[0], key) and _is_tonic(chords[-1], key):
        signs.append(f"the chords begin and end with {chords[-1].text}")
    elif _is_tonic(chords[-1], key):
        signs.append(f"the chords end with {chords[-1].text}")
    elif _is_tonic(chords[0], key):
        signs.append(f"the chords begin with {chords[0].text}")
    for one, two in pairwise(chords):
        if _is_dominant(one, key) and _is_tonic(two, key):
            signs.append(f"{one.text} leads to {two.text}")
            break
    return " and ".join(signs) or f"nearly all chords and notes belong to {key.name}"
