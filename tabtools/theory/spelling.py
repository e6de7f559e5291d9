"""Names for MIDI numbers: which of F# and Gb a key wants."""

from __future__ import annotations

from functools import lru_cache

from tabtools.score import Key, Pitch
from tabtools.theory.key import fifths, has_minor_third
from tabtools.theory.line_of_fifths import place, step_alter

# The lowest of twelve names, in fifths from the tonic of the major key with the same signature, where nothing
# is known of the line. Measured on melodies with known spelling: tests/benchmarks/keys.py.
_LOWEST = -2
# The same for a note that falls or rises by a semitone to the next, or does neither: what falls is a flat,
# what rises a sharp, and the third below the major one is a flat unless it rises. A minor key keeps its
# raised sixth and seventh. Common practice, no source; measured as above.
_LOWEST_IN_LINE = {"major": {-1: -5, 0: -3, 1: -2}, "minor": {-1: -3, 0: -2, 1: -2}}
# In a blues the window ends at the flat fifth of the tonic, so that blue notes are flats.
_LOWEST_BLUES = -6


@lru_cache(maxsize=256)
def _names(first: int) -> tuple[tuple[str, int, int], ...]:
    """Step, alteration and octave shift for each pitch class, named by the twelve fifths from ``first``."""
    rows: dict[int, tuple[str, int, int]] = {}
    for fifth in range(first, first + 12):
        step, alter = step_alter(fifth)
        # B# sounds in the octave above its name, Cb in the one below.
        natural_midi = Pitch(step, alter, -1).midi
        rows[natural_midi % 12] = step, alter, -(natural_midi // 12)
    return tuple(rows[pitch_class] for pitch_class in range(12))


def spell(midi: int, key: Key | None, *, blues: bool = False, then: int | None = None) -> Pitch:
    """The pitch of a MIDI number, named as the key wants it; no key is read as C major.

    ``then`` is the step to the next other note of the line where that is a semitone, -1 or 1, and 0 where it
    is not; None where the line isn't known. The twelve names are those from two fifths below to nine fifths
    above the signature's place on the line of fifths, lower down for a note that falls; in a blues, those
    from the flat fifth of the tonic to its seventh.
    """
    octave, pitch_class = divmod(midi, 12)
    step, alter, shift = _names(_lowest(key, blues, then))[pitch_class]
    if then == 1 and abs(alter) > 1:  # G before G# in E major, rather than F double sharp
        step, alter, shift = _names(_lowest(key, blues, 0))[pitch_class]
    return Pitch(step, alter, octave - 1 + shift)


def _lowest(key: Key | None, blues: bool, then: int | None) -> int:
    if key and blues:
        return place(key.step, key.alter) + _LOWEST_BLUES
    minor = key is not None and has_minor_third(key)
    lowest = _LOWEST if then is None else _LOWEST_IN_LINE["minor" if minor else "major"][then]
    return (fifths(key) if key else 0) + lowest
