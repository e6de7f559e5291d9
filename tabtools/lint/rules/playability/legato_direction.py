"""A hammer-on that goes down, or a pull-off that goes up."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.joins import joins
from tabtools.lint.rule import Rule
from tabtools.lint.view import View

BAD = """\
Tuning: standard

e|-----------------|
B|-------------5---|
G|-7h5-----7-------|
D|-----------------|
A|-----------------|
E|-----------------|
"""


def _check(view: View) -> Iterable[Finding]:
    for join in joins(view.score, "hammer", "pull"):
        if join.before.fret is None or join.after.fret is None:
            continue
        up = join.after.has("hammer")
        step = join.after.fret - join.before.fret
        if step > 0 if up else step < 0:
            continue
        name, way, other = ("hammer-on", "up", "p") if up else ("pull-off", "down", "h")
        end = (
            f"stays on fret {join.after.fret}"
            if not step
            else f"goes from fret {join.before.fret} to {join.after.fret}"
        )
        advice = "pick the note again" if not step else f"write {other}, or correct a fret"
        message = f"the {name} on string {join.after.string} {end}, and a {name} only goes {way}: {advice}"
        yield RULE.finding(message, join.span, related=(join.before_span,), bar=join.bar.number)


RULE = Rule(
    name="legato-direction",
    group="playability",
    severity=Severity.WARNING,
    what="A hammer-on that goes down, or a pull-off that goes up.",
    why=(
        "A hammer-on sounds because a finger comes down on a higher fret, a pull-off because one leaves "
        "for a "
        "lower fret. The other way round nothing sounds, so the letter or a fret is a slip."
    ),
    bad=BAD,
    good=BAD.replace("7h5", "7p5"),
    check=_check,
)
