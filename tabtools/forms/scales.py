"""The scale that a run goes through, by the key that it is in."""

from __future__ import annotations

from tabtools.score import Key
from tabtools.theory.key import pitch_classes
from tabtools.theory.line_of_fifths import letter, pitch_class, place
from tabtools.theory.scale import SCALES

_ENOUGH = 6  # different notes: with fewer it may be a pentatonic scale or an arpeggio as well
_OF_MINOR = ("harmonic minor", "melodic minor")


def run_scale(key: Key | None, notes: frozenset[int]) -> str | None:
    """The name of the scale that notes, as semitones above C, belong to, as in ``G major``; None without a
    key, with fewer than six of its notes, and with any outside.

    It is the scale of the key, and in minor also the harmonic or melodic one.
    """
    if key is None or len(notes) < _ENOUGH:
        return None
    if notes <= pitch_classes(key):
        return key.name
    if key.mode not in ("minor", "aeolian"):
        return None
    tonic = place(key.step, key.alter)
    for name in _OF_MINOR:
        if notes <= {(pitch_class(tonic) + semitones) % 12 for semitones in SCALES[name].semitones}:
            return f"{letter(tonic)} {name}"
    return None
