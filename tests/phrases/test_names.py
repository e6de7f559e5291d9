"""Keys, chord symbols and pitches moved. The reference is music21's transposition."""

from __future__ import annotations

import pytest

from tabtools.phrases.names import Interval, interval_by, interval_to, moved_chord, moved_key, moved_pitch
from tabtools.score import Key, Pitch
from tabtools.theory.chord import parse_chord, pitch_classes
from tabtools.theory.key import parse_key, plainest_key

_KEYS = [plainest_key(tonic, mode) for tonic in range(12) for mode in ("major", "minor")]
_CHORDS = ("C", "Am", "F#m7b5", "Bb7", "G/B", "Dsus4", "Ebmaj7", "C7#9", "Am7/G", "E5", "Cdim7", "Aaug")
_MUSIC21 = {"b": "-"}


def _reference(key: Key, interval: Interval):  # type: ignore[no-untyped-def]
    """music21's interval between the tonics of a key and of the one that it moves to."""
    from music21 import interval as reference
    from music21 import pitch

    start = pitch.Pitch(_note(key) + "4")
    moved = moved_key(key, interval)
    end = pitch.Pitch(_note(moved) + "4")
    while end.ps - start.ps < interval.semitones:
        end.octave += 1
    while end.ps - start.ps > interval.semitones:
        end.octave -= 1
    assert end.ps - start.ps == interval.semitones
    return reference.Interval(start, end)


def _note(key: Key) -> str:
    return key.step + {-1: "-", 0: "", 1: "#"}[key.alter]


@pytest.mark.parametrize("key", _KEYS, ids=lambda key: key.name)
@pytest.mark.parametrize("semitones", range(-11, 12))
def test_pitches_move_as_music21_moves_them(key: Key, semitones: int) -> None:
    from music21 import pitch

    interval = interval_by(semitones, key)
    reference = _reference(key, interval)
    for name in ("C4", "F#3", "B-5", "E2", "G#4"):
        expected = reference.transposePitch(pitch.Pitch(name), maxAccidental=None)
        start = Pitch.from_name(name.replace("-", "b"))
        moved = moved_pitch(start, interval)
        assert moved.midi == start.midi + semitones == expected.ps
        if abs(expected.alter) <= 2:
            assert moved.name == expected.nameWithOctave.replace("-", "b")


@pytest.mark.parametrize("semitones", range(-11, 12))
def test_chord_symbols_move_as_music21_moves_them(semitones: int) -> None:
    from music21 import harmony

    for symbol in _CHORDS:
        for key in (Key("C", 0, "major"), Key("E", 0, "minor"), Key("A", -1, "major")):
            interval = interval_by(semitones, key)
            moved = moved_chord(symbol, interval)
            chord, before = parse_chord(moved or ""), parse_chord(symbol)
            assert chord
            assert before
            assert chord.quality == before.quality
            reference = harmony.ChordSymbol(_for_music21(symbol)).transpose(_reference(key, interval))
            assert reference.root().pitchClass == Pitch(chord.root_step, chord.root_alter, 4).midi % 12
            assert pitch_classes(chord) == {(tone + semitones) % 12 for tone in pitch_classes(before)}


def _for_music21(symbol: str) -> str:
    root, _, bass = symbol.partition("/")
    head = root[:2].replace("b", "-") if root[1:2] == "b" else root[:2]
    return head + root[2:] + ("/" + bass if bass else "")


@pytest.mark.parametrize(
    ("start", "target", "semitones"),
    [("C", "G", -5), ("G", "C", 5), ("E minor", "A minor", 5), ("C", "F#", 6), ("C", "Gb", 6), ("D", "E", 2)],
)
def test_the_way_to_a_key_is_the_shorter_one(start: str, target: str, semitones: int) -> None:
    first, last = parse_key(start), parse_key(target)
    assert first
    assert last
    interval = interval_to(first, last)
    assert interval.semitones == semitones
    assert moved_key(first, interval) == last


@pytest.mark.parametrize("key", _KEYS, ids=lambda key: key.name)
def test_a_key_moves_to_the_plainest_one(key: Key) -> None:
    for semitones in range(-11, 12):
        moved = moved_key(key, interval_by(semitones, key))
        tonic = Pitch(key.step, key.alter, 4).midi + semitones
        assert moved == plainest_key(tonic % 12, key.mode) or semitones == 0


def test_what_is_no_chord_symbol_stays() -> None:
    assert moved_chord("riff", Interval(2, 2)) is None
    assert moved_chord("N.C.", Interval(2, 2)) == "N.C."
    assert moved_chord("Lam", Interval(2, 2)) == "Bm"
