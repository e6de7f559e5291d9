"""A slide between two notes that leads nowhere."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.joins import Join, joins
from tabtools.lint.rule import Rule
from tabtools.lint.view import View

BAD = """\
Tuning: standard

e|-----------------|
B|-------------5---|
G|-7/7-----5-------|
D|-----------------|
A|-----------------|
E|-----------------|
"""


def _check(view: View) -> Iterable[Finding]:
    for join in joins(view.score, "slide"):
        fault = _fault(join)
        if fault:
            message = f"the slide on string {join.after.string} {fault}"
            yield RULE.finding(message, join.span, related=(join.before_span,), bar=join.bar.number)


def _fault(join: Join) -> str | None:
    start, end = join.before.fret, join.after.fret
    if start is None or end is None:
        return None
    if start == end and not join.before.techniques:
        return f"begins and ends on fret {end}: correct a fret, or play the note again"
    if end == 0:
        return "ends on the open string, where no finger slides to: a pull-off (p) leads there"
    if start == 0:
        return "begins on the open string, where no finger is: a hammer-on (h) leads on from there"
    return None


RULE = Rule(
    name="slide-nowhere",
    group="playability",
    severity=Severity.WARNING,
    what="A slide between two notes that has no way to go.",
    why=(
        "A slide is one finger moving along the string from fret to fret: it needs two different frets, "
        "and a "
        "finger on both. Slides in and out of a single note are fine."
    ),
    bad=BAD,
    good=BAD.replace("7/7", "5/7"),
    check=_check,
)
