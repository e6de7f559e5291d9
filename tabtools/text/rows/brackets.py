"""A fret in brackets: a note of its own, the one before it held on, or more about the one before it."""

from __future__ import annotations

from fractions import Fraction

from tabtools.doubts import BracketedNote
from tabtools.score import Technique
from tabtools.text.page.marks import RELEASED
from tabtools.text.rows.tokens import RowNote, RowTokens, plain

# The widest bend that brackets right behind a fret may name; farther up the string is touched.
_WIDEST_BEND = 4
# Frets above the one that is held where a string touched in passing gives a harmonic: a quarter, a third,
# half of what sounds, and the same an octave on. By where the nodes of a string lie.
_NODES = (5, 7, 12, 19, 24)
# Bends that are not let down again: the string sounds higher than it is fretted.
_UP = ("bend", "prebend")


def settle_bracket(tokens: RowTokens, text: str, name: str, end: int) -> RowNote:
    """Make of the last note, whose brackets close before column ``end``, what they say, and give back the
    note that is then the last one; ``name`` is what brackets of that kind mean around a note of its own."""
    note = tokens.notes[-1]
    before = tokens.notes[-2] if len(tokens.notes) > 1 else None
    if before is None or note.techniques or note.fret is None or before.fret is None:
        note.techniques.append(plain(name))
        return note
    said = _said_of(before, note, tokens, text, name)
    if said is not None:
        tokens.notes.pop()
        if said not in before.techniques:
            before.techniques.append(said)
        before.stop = end
        return before
    if name == "ghost" and _held(before, note, tokens):
        note.fret, note.tied = before.fret, True
        tokens.open.append((BracketedNote, note.start, end, "held on from the bar before"))
    else:
        note.techniques.append(plain(name))
    return note


def _said_of(before: RowNote, note: RowNote, tokens: RowTokens, text: str, name: str) -> Technique | None:
    """What the brackets say of the note before them: where a bend goes or is held, where a trill goes, or
    where the string is touched; None where they are about a note of their own."""
    assert note.fret is not None
    assert before.fret is not None
    step = note.fret - before.fret
    touching = note.start == before.stop
    ghost = name == "ghost"
    trilled = text.startswith("tr", note.end)
    bent = next((t for t in before.techniques if t.name in RELEASED), None)
    if touching and ghost and trilled:
        return Technique("trill", Fraction(note.fret))
    if touching and ghost and 0 < step <= _WIDEST_BEND:
        return Technique("bend", Fraction(step))
    if touching and step > _WIDEST_BEND and (not ghost or step in _NODES):
        return plain("artificial")
    if bent is not None and ghost and bent.value == step and not text[before.stop : note.start].strip("-"):
        tokens.open.append((BracketedNote, note.start, note.end, "the bend held"))
        return bent
    return None


def _held(before: RowNote, note: RowNote, tokens: RowTokens) -> bool:
    """Whether a note in brackets right behind a bar line is the last note of the bar before it, as it sounds
    or as it is fretted where that is bent."""
    bends = [t.value for t in before.techniques if t.name in _UP]
    sounding = (before.fret or 0) + (bends[0] or 0 if bends else 0)
    if note.fret not in (before.fret, sounding) or not tokens.bars:
        return False
    line = tokens.bars[-1]
    return before.stop <= line.start and note.start - line.end <= 2
