"""A chord that four fingers can't hold down."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.fingering.hand import easiest
from tabtools.lint.finding import Finding, Severity
from tabtools.lint.moments import chords
from tabtools.lint.rule import Rule
from tabtools.lint.view import View

BAD = """\
Tuning: standard

e|-5---------------|
B|-8---------------|
G|-5---------------|
D|-7---------------|
A|-9---------------|
E|-6---------------|
"""


def _check(view: View) -> Iterable[Finding]:
    known: dict[object, bool] = {}
    for chord in chords(view.score):
        if any(fret + chord.instrument.capo > chord.instrument.frets for _, fret in chord.down):
            continue  # a number off the neck is a slip of its own
        key = (chord.instrument, chord.down)
        if key not in known:
            known[key] = easiest(chord.instrument, chord.down) is None
        if known[key] and not chord.clashes:
            fretted = ", ".join(f"{s}/{f}" for s, f in chord.down if f)
            message = (
                f"no four fingers hold this chord in bar {chord.bar.number} (string/fret: {fretted}), not "
                "even with a "
                "barre that leaves the open and the lower strings free: leave a note out, or play one "
                "elsewhere"
            )
            yield RULE.finding(message, chord.spans[0], related=chord.spans[1:], bar=chord.bar.number)


RULE = Rule(
    name="too-many-fingers",
    group="playability",
    severity=Severity.ERROR,
    what="A chord that four fingers can't hold down.",
    why=(
        "A hand has four fingers for the strings; one of them can hold several strings at one fret, but "
        "then none "
        "between them may sound open or at a lower fret. Mostly one number of the chord is wrong."
    ),
    bad=BAD,
    good=BAD.replace("A|-9-", "A|-7-").replace("E|-6-", "E|-5-").replace("B|-8-", "B|-5-"),
    check=_check,
)
