"""All pitches of a part in another octave."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from tabtools.musicxml.edit.insert import set_text
from tabtools.musicxml.located import Located
from tabtools.musicxml.reading.values import whole
from tabtools.source import Edit


def shift_octaves(located: Located, shifts: Mapping[int, int]) -> Iterator[Edit]:
    """Edits that move notes: ``shifts`` are octaves, up or down, by where the elements of notes start."""
    where = located.extents
    for part in located.parts:
        for note in part.notes:
            octave = note.element.find("pitch/octave")
            shift = shifts.get(where[note.element].start, 0)
            if octave is not None and shift:
                yield set_text(where, octave, str(whole(octave) + shift))
