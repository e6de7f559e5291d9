"""The key of music that names none, from its chords or from its notes, with the runner-up."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from math import sqrt

from tabtools.record import NamedTuple
from tabtools.score import Key, Quarters
from tabtools.theory.chord import Chord, pitch_classes
from tabtools.theory.key import pitch_classes as key_pitch_classes
from tabtools.theory.key import plainest_key
from tabtools.theory.line_of_fifths import pitch_class, place

# Key profiles of the Kostka-Payne corpus, tonic first, by semitones: Temperley, "Music and Probability"
# (MIT Press 2007); the values as a general library lists them, the book itself was not opened.
PROFILES = {
    "major": (0.748, 0.060, 0.488, 0.082, 0.670, 0.460, 0.096, 0.715, 0.104, 0.366, 0.057, 0.400),
    "minor": (0.712, 0.084, 0.474, 0.618, 0.049, 0.460, 0.105, 0.747, 0.404, 0.067, 0.133, 0.330),
}
# What a tonic as the last note is worth in correlation, and a tone of the tonic chord on the first downbeat.
# Chosen on collections of traditional tunes, and scored on each one left out: tests/benchmarks/keys.py.
LAST_NOTE, FIRST_DOWNBEAT = 0.1, 0.1
_TRIADS = {"major": (0, 4, 7), "minor": (0, 3, 7)}
# Weights of the chord method: our own, shaped on stock progressions of popular harmony.
_FIRST, _LAST, _CADENCE, _ON_TONIC = 0.15, 0.15, 0.10, 0.20
_NO_LENGTH = 0.01  # a note without duration still counts a little


class KeyReading(NamedTuple):
    """A key, the best one beside it, and by how much it wins (0 for a draw).

    ``evidence`` is ``chords`` or ``notes``.
    """

    key: Key
    runner_up: Key
    margin: float
    evidence: str

    @property
    def confidence(self) -> float:
        """How often a key with this margin is right, 0 to 1; see `python -m tests.benchmarks.keys`."""
        return round(min(0.99, 0.5 + 2 * self.margin), 3)


def key_of_notes(notes: Sequence[tuple[int, Quarters]], downbeat: int | None = None) -> KeyReading | None:
    """The key of a melody given as MIDI numbers with durations in quarter notes; None without notes.

    ``downbeat`` is the MIDI number of the note that begins the first whole bar, where there is one. Pearson
    correlation of the durations of the twelve pitch classes with each key's profile (Krumhansl and Kessler's
    method, with the profiles of PROFILES), and a bonus for the key whose tonic ends the melody and whose
    tonic chord has the first downbeat. Only major and minor keys are told apart.
    """
    weights = [0.0] * 12
    for midi, duration in notes:
        weights[midi % 12] += float(duration) or _NO_LENGTH
    if not notes:
        return None
    shape = _centred(tuple(weights))
    last = notes[-1][0] % 12
    scores = {
        (tonic, mode): sum(shape[(tonic + step) % 12] * value for step, value in enumerate(profile))
        + (LAST_NOTE if tonic == last else 0.0)
        + (FIRST_DOWNBEAT if downbeat is not None and (downbeat - tonic) % 12 in _TRIADS[mode] else 0.0)
        for mode, profile in _profiles().items()
        for tonic in range(12)
    }
    return _reading(scores, "notes")


def key_of_chords(chords: Sequence[tuple[Chord, Quarters]]) -> KeyReading | None:
    """The key of a progression of chords with durations in quarter notes; None without a sounding chord.

    A key scores the share of chord tones that it holds (a minor key's raised seventh and the flat sevenths
    of a blues included), and more for a tonic chord at the start, at the end and for long, and for a
    dominant that leads to it.
    """
    sounding = [(chord, duration) for chord, duration in chords if chord.quality.degrees]
    if not sounding:
        return None
    scores = {(tonic, mode): _chord_score(sounding, tonic, mode) for mode in PROFILES for tonic in range(12)}
    return _reading(scores, "chords", home=_root(sounding[0][0]))


def _chord_score(chords: Sequence[tuple[Chord, Quarters]], tonic: int, mode: str) -> float:
    total = sum(float(duration) for _, duration in chords) or 1.0
    on_tonic = [_is_tonic(chord, tonic, mode) for chord, _ in chords]
    roots = [(_root(chord) - tonic) % 12 for chord, _ in chords]
    inside = sum(_share_inside(chord, tonic, mode) * float(duration) for chord, duration in chords)
    held = sum(float(duration) for (_, duration), yes in zip(chords, on_tonic, strict=True) if yes)
    leads = any(root == 7 and goal for root, goal in zip(roots, on_tonic[1:] + on_tonic[:1], strict=True))
    bonus = _FIRST * on_tonic[0] + _LAST * on_tonic[-1] + _CADENCE * leads
    return inside / total + bonus + _ON_TONIC * held / total


def _root(chord: Chord) -> int:
    return pitch_class(place(chord.root_step, chord.root_alter))


def _is_tonic(chord: Chord, tonic: int, mode: str) -> bool:
    """Whether a chord is that of the tonic; a power chord has no third to say otherwise."""
    if _root(chord) != tonic:
        return False
    third = {"3": "major", "b3": "minor"}
    modes = {third[name] for name in chord.quality.degrees if name in third}
    return mode in modes or not modes


def _share_inside(chord: Chord, tonic: int, mode: str) -> float:
    """The share of a chord's tones that lie in a key, with the tones that players add to it."""
    inside = _scale(tonic, mode)
    root = (_root(chord) - tonic) % 12
    if mode == "minor" and root in (7, 11):
        inside |= {(tonic + 11) % 12}
    if mode == "major" and root in (0, 5) and chord.quality.kind.startswith("dominant"):
        inside |= {(tonic + root + 10) % 12}
    sounding = pitch_classes(chord)
    return len(sounding & inside) / len(sounding)


def _reading(scores: dict[tuple[int, str], float], evidence: str, home: int | None = None) -> KeyReading:
    """The best two; a draw goes to the tonic ``home``, then to major, then to the lower tonic."""

    def place_of(name: tuple[int, str]) -> tuple[float, bool, str, int]:
        return -round(scores[name], 9), name[0] != home, name[1], name[0]

    first, second = sorted(scores, key=place_of)[:2]
    margin = round(scores[first] - scores[second], 4)
    return KeyReading(plainest_key(*first), plainest_key(*second), margin, evidence)


@cache
def _scale(tonic: int, mode: str) -> frozenset[int]:
    return key_pitch_classes(plainest_key(tonic, mode))


@cache
def _profiles() -> dict[str, tuple[float, ...]]:
    return {mode: _centred(profile) for mode, profile in PROFILES.items()}


def _centred(values: tuple[float, ...]) -> tuple[float, ...]:
    """The values less their mean, scaled to length 1, so that a sum of products is the correlation."""
    mean = sum(values) / len(values)
    centred = [value - mean for value in values]
    length = sqrt(sum(value * value for value in centred)) or 1.0
    return tuple(value / length for value in centred)
