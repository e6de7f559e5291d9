"""The chord that notes spell, without a symbol: for a grip, or for the notes of a stretch of melody."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache, lru_cache

from tabtools.record import NamedTuple
from tabtools.score import Key
from tabtools.theory.chord import Chord, symbol, tone
from tabtools.theory.key import pitch_classes as key_pitch_classes
from tabtools.theory.key import plainest_key
from tabtools.theory.line_of_fifths import degree_semitones, place_of_letter, step_alter
from tabtools.theory.names import NoteName
from tabtools.theory.qualities import Quality, quality_of_suffix
from tabtools.theory.spelling import spell

# What players call a grip, the plainest first: of two that fit alike, the earlier one is meant.
# Common practice, no source.
COMMON = (
    *("", "m", "7", "m7", "maj7", "5", "sus4", "sus2", "6", "m6", "add9", "madd9", "dim", "dim7", "m7b5"),
    *("aug", "7sus4", "9", "m9", "maj9", "6/9", "m(maj7)", "aug7", "7#9", "7b9", "13"),
)
# In shares of the weight of all notes. The bass counts half as much again for a chord that has it as its root
# and a note outside takes away half of what it would give: our own proposal, as are the rest.
_BASS, _OUTSIDE, _IN_KEY = 0.5, 0.5, 0.05
_MISSING, _NO_FIFTH, _LESS_PLAIN = 0.3, 0.04, 0.012


class ChordReading(NamedTuple):
    """A chord, the best one beside it, and by how much it wins, in shares of the weight of all notes.

    ``outside`` is the share of the weight that is no chord tone.
    """

    chord: Chord
    runner_up: Chord
    margin: float
    outside: float


def find_chord(weights: Mapping[int, float], bass: int | None, key: Key | None = None) -> ChordReading | None:
    """The chord that pitch classes (semitones above C) with their weights spell best.

    ``bass`` is the lowest one; weights may be durations or counts. A root must sound; a perfect fifth may be
    missing, as it is in many grips. None for fewer than two notes.
    """
    return _found(tuple(weights.items()), bass, key)


@lru_cache(maxsize=1024)
def _found(weights: tuple[tuple[int, float], ...], bass: int | None, key: Key | None) -> ChordReading | None:
    total = sum([weight for _, weight in weights])
    if len(weights) < 2 or total <= 0:
        return None
    shares = {pitch: weight / total for pitch, weight in weights}
    scored = sorted(
        (-round(_score(shares, bass, key, root, quality, rank), 9), rank, (root - (bass or 0)) % 12, root)
        for root in shares
        for rank, quality in enumerate(_common())
    )
    (best, rank, _, root), (second, other_rank, _, other_root) = scored[:2]
    tones = _tones(_common()[rank])
    outside = sum(share for pitch, share in shares.items() if (pitch - root) % 12 not in tones)
    return ChordReading(
        _chord(root, _common()[rank], bass, key),
        _chord(other_root, _common()[other_rank], bass, key),
        round(second - best, 4),
        round(outside, 4),
    )


def _score(
    shares: Mapping[int, float], bass: int | None, key: Key | None, root: int, quality: Quality, rank: int
) -> float:
    tones = _tones(quality)
    score = -_LESS_PLAIN * rank
    for pitch, share in shares.items():
        score += share if (pitch - root) % 12 in tones else -_OUTSIDE * share
    if bass == root:
        score += _BASS * min(0.5, shares[root])
    for step, required in tones.items():
        if (root + step) % 12 not in shares:
            score -= _MISSING if required else _NO_FIFTH
    if key is not None and all((root + step) % 12 in key_pitch_classes(key) for step in tones):
        score += _IN_KEY
    return score


@cache
def _common() -> tuple[Quality, ...]:
    qualities = (quality_of_suffix(suffix) for suffix in COMMON)
    return tuple(quality for quality in qualities if quality is not None)


@cache
def _tones(quality: Quality) -> dict[int, bool]:
    """Semitones above the root, and whether the chord is not itself without that tone.

    A fifth may be missing in most chords, and so may the ninth under a thirteenth.
    """
    # Without its fifth a sixth chord is a triad of another root.
    optional = set() if len(quality.degrees) == 2 or "6" in quality.degrees else {"5"}
    if "13" in quality.degrees:
        optional |= {"9", "11"}
    return {degree_semitones(name) % 12: name not in optional for name in quality.degrees}


def _chord(root: int, quality: Quality, bass: int | None, key: Key | None) -> Chord:
    name = _root_name(root, quality, key)
    plain = Chord(*name, quality, None, "")
    slash: NoteName | None = None
    if bass is not None and bass != root:
        slash = _bass_name(plain, bass, key)
    unnamed = Chord(*name, quality, slash, "")
    return Chord(*name, quality, slash, symbol(unnamed))


def _root_name(root: int, quality: Quality, key: Key | None) -> NoteName:
    """A root of the key as the key names it; any other as the chord's own plainest key does: Eb, but C#m."""
    if key is not None and root in key_pitch_classes(key):
        pitch = spell(root, key)
        return pitch.step, pitch.alter
    plainest = plainest_key(root, "minor" if "b3" in quality.degrees else "major")
    return plainest.step, plainest.alter


def _bass_name(chord: Chord, bass: int, key: Key | None) -> NoteName:
    """A bass that is a chord tone is spelled as one: the third of D is F#, whatever the key."""
    chord_tone = tone(chord, bass)
    if chord_tone is not None:
        return step_alter(place_of_letter(chord_tone[1]))
    pitch = spell(bass, key)
    return pitch.step, pitch.alter
