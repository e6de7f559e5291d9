"""The one table of scales, and their notes spelled."""

from __future__ import annotations

from tabtools.record import NamedTuple
from tabtools.theory.line_of_fifths import degree_place, degree_semitones, letter, place_of_letter


class Scale(NamedTuple):
    """A scale by its degrees, named against the major scale of the same tonic."""

    name: str
    degrees: tuple[str, ...]

    @property
    def semitones(self) -> tuple[int, ...]:
        """Semitones above the tonic, one for each degree."""
        return tuple(map(degree_semitones, self.degrees))


# Common practice, no source.
SCALES = {
    name: Scale(name, tuple(degrees.split()))
    for name, degrees in (
        ("major", "1 2 3 4 5 6 7"),
        ("natural minor", "1 2 b3 4 5 b6 b7"),
        ("harmonic minor", "1 2 b3 4 5 b6 7"),
        ("melodic minor", "1 2 b3 4 5 6 7"),
        ("ionian", "1 2 3 4 5 6 7"),
        ("dorian", "1 2 b3 4 5 6 b7"),
        ("phrygian", "1 b2 b3 4 5 b6 b7"),
        ("lydian", "1 2 3 #4 5 6 7"),
        ("mixolydian", "1 2 3 4 5 6 b7"),
        ("aeolian", "1 2 b3 4 5 b6 b7"),
        ("locrian", "1 b2 b3 4 b5 b6 b7"),
        ("major pentatonic", "1 2 3 5 6"),
        ("minor pentatonic", "1 b3 4 5 b7"),
        ("major blues", "1 2 b3 3 5 6"),
        ("blues", "1 b3 4 b5 5 b7"),
    )
}


def scale_notes(tonic: str, name: str) -> tuple[str, ...]:
    """The note names of a scale, from the tonic up: ``("G", "A", "B", "D", "E")``.

    ``tonic`` is a note name such as ``F#``. Raises ValueError for an unknown scale or note name.
    """
    if name not in SCALES:
        raise ValueError(f"unknown scale: {name!r}")
    root = place_of_letter(tonic)
    return tuple(letter(root + degree_place(degree)) for degree in SCALES[name].degrees)
