"""A bend on an open string."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.places import notes, span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.techniques import BENDS

BAD = """\
Tuning: standard

e|-----------------|
B|-----0b------3---|
G|-0-------2-------|
D|-----------------|
A|-----------------|
E|-----------------|
"""


def _check(view: View) -> Iterable[Finding]:
    for part, bar, event, note in notes(view.score):
        if note.fret == 0 and note.has(*BENDS):
            capo = " (the capo holds it down)" if part.instrument.capo else ""
            message = (
                f"string {note.string} is bent while it is open{capo}: no finger holds it that could bend "
                "it; correct "
                "the fret, or play the note on a lower string where it is fretted"
            )
            yield RULE.finding(message, span_of(note, event, bar), bar=bar.number)


RULE = Rule(
    name="open-string-bend",
    group="playability",
    severity=Severity.ERROR,
    what="A bend on an open string.",
    why=(
        "A string is bent by the finger that presses it, and no finger presses an open one. Mostly a digit "
        "was "
        "lost or the mark stands at the wrong note."
    ),
    bad=BAD,
    good=BAD.replace("-0b-", "-1b-"),
    check=_check,
)
