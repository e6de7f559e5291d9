"""The bend of a note while its row is read: it is the last of the note's techniques."""

from __future__ import annotations

from fractions import Fraction

from tabtools.score import Technique
from tabtools.text.page.marks import RELEASED
from tabtools.text.rows.tokens import RowNote


def is_bent(note: RowNote, text: str, column: int) -> bool:
    """Whether a note is bent and nothing but filler lies between it and a column of its row."""
    if text[note.stop : column].strip("-"):
        return False
    return bool(note.techniques) and note.techniques[-1].name in RELEASED


def release(note: RowNote) -> None:
    bend = note.techniques.pop()
    note.techniques.append(Technique(RELEASED[bend.name], bend.value))


def bend_by(note: RowNote, size: Fraction) -> None:
    """Give the bend of a note its size in semitones, or a trill its fret."""
    bend = note.techniques.pop()
    note.techniques.append(Technique(bend.name, size))
