"""A natural harmonic at a fret that is not near a node of the string."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.instrument import HARMONIC_NODES, heard_harmonic
from tabtools.lint.finding import Finding, Severity
from tabtools.lint.places import notes, span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View

BAD = """\
Tuning: standard

e|-----------------|
B|---------<11>----|
G|-<7>-------------|
D|-----------------|
A|-----------------|
E|-----------------|
"""


def _check(view: View) -> Iterable[Finding]:
    for _, bar, event, note in notes(view.score):
        if note.fret is None or not note.has("harmonic") or note.has("artificial"):
            continue
        if heard_harmonic(note.fret) is None:
            yield RULE.finding(_message(note.fret, note.string), span_of(note, event, bar), bar=bar.number)


def _message(fret: int, string: int | None) -> str:
    near = sorted(sorted(HARMONIC_NODES, key=lambda node: abs(node[0] - fret))[:2])
    places = " or ".join(f"fret {round(place)}" for place, _ in near)
    return (
        f"fret {fret} on string {string} is no node, so that no natural harmonic rings there: {places} is "
        "nearest; "
        "correct the fret, or mark the note as an artificial harmonic"
    )


RULE = Rule(
    name="harmonic-node",
    group="playability",
    severity=Severity.WARNING,
    what="A natural harmonic at a fret that is not near a node of the string.",
    why=(
        "A touched string only rings where it divides into equal parts: at frets 12, 7, 19, 5 and 24, and "
        "weaker near "
        "4, 9, 16, 28, 3 and 31. Anywhere else the note is dead, so the number is a slip or another kind "
        "of harmonic "
        "is meant."
    ),
    bad=BAD,
    good=BAD.replace("<11>", "<12>"),
    check=_check,
)
