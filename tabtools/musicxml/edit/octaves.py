"""All pitches of a part in another octave."""

from __future__ import annotations

from collections.abc import Mapping

from tabtools.musicxml.edit.insert import set_text
from tabtools.musicxml.positions import Located
from tabtools.musicxml.walk import tracks, whole
from tabtools.source import Edit, Source, applied


def shift_octaves(source: Source, shifts: Mapping[int, int]) -> Source:
    """The text with notes moved: ``shifts`` are octaves, up or down, by where the elements of notes start."""
    where = Located(source.text)
    edits: list[Edit] = []
    for track in tracks(where):
        for note in track.notes:
            octave = note.element.find("pitch/octave")
            shift = shifts.get(where[note.element].start, 0)
            if octave is not None and shift:
                edits.append(set_text(where, octave, str(whole(octave) + shift)))
    return source._replace(text=applied(source.text, edits))
