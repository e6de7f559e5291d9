"""Words put above the music of a file, such as the labels of chord forms."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from tabtools.musicxml.edit.insert import insert_before
from tabtools.musicxml.positions import Located
from tabtools.musicxml.writing.directions import words
from tabtools.source import Source, applied


def with_words(source: Source, labels: Mapping[int, str]) -> Source:
    """The text of a MusicXML file with words before notes: ``labels`` are texts by where the elements start.

    Event spans of the file's own score start there. A place where no note begins is passed over.
    """
    where = Located(source.text)
    edits = []
    for note in where.root.iter("note"):
        label = labels.get(where[note].start)
        if label is not None:
            staff = note.findtext("staff")
            edits.append(insert_before(where, note, words(label, 0, int(staff) if staff else None)))
    return replace(source, text=applied(source.text, edits), _starts=[])
