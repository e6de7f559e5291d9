"""A bend goes further than the string lets it."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.places import notes, span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.score import Note, Part
from tabtools.techniques import BENDS

BAD = """\
Tuning: standard

e|-----------------|
B|---------8b15----|
G|-7---9-----------|
D|-----------------|
A|-----------------|
E|-----------------|
"""
# In semitones; common practice, no source. The lower half of the strings is thicker and nearer to the edge.
_THIN, _THICK, _NEAR_THE_NUT = 4, 3, 2
_LOW_FRET = 2


def _check(view: View) -> Iterable[Finding]:
    for part, bar, event, note in notes(view.score):
        size = max((t.value for t in note.techniques if t.name in BENDS and t.value), default=Fraction(0))
        limit = _limit(part, note)
        if note.fret and size > limit:
            message = (
                f"the bend on string {note.string}, fret {note.fret} goes up {float(size):g} semitones, and "
                f"{limit} is about as far as that string goes there: correct the size, or bend from a "
                "higher fret"
            )
            yield RULE.finding(message, span_of(note, event, bar), bar=bar.number)


def _limit(part: Part, note: Note) -> int:
    if note.fret is not None and note.fret + part.instrument.capo <= _LOW_FRET:
        return _NEAR_THE_NUT
    return _THIN if 2 * (note.string or 1) <= len(part.instrument.tuning) else _THICK


RULE = Rule(
    name="bend-too-far",
    group="playability",
    severity=Severity.WARNING,
    what="A bend goes further than the string lets it.",
    why=(
        "Two semitones are a usual bend and four a very wide one; near the nut and on thick strings it is "
        "less. "
        "Limits are typical: strings and hands differ, a forced bend breaks the string or hurts the "
        "finger. Mostly "
        "the size is a slip, or the number after the b is the fret that the bend sounds like and stands "
        "too high."
    ),
    bad=BAD,
    good=BAD.replace("8b15", "8b10"),
    check=_check,
)
