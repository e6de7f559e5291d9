"""A bar holds more than its time signature has room for."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.lengths import amount, number, units
from tabtools.lint.places import bars, span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.score import Bar

BAD = """\
Time: 4/4
Key: G major

   q  q  q  q  q
e|----------------|
B|-------0--1--3--|
G|-0--2-----------|
D|----------------|
A|----------------|
E|----------------|
"""


def _check(view: View) -> Iterable[Finding]:
    for _, bar in bars(view.score):
        written = not any(event.inferred for event in bar.events)
        if written and bar.length > bar.time.length:
            yield _overfull(bar)


def _overfull(bar: Bar) -> Finding:
    over = [e for e in bar.events if e.onset + e.duration > bar.time.length]
    surplus = bar.length - bar.time.length
    places = [span_of(event, *event.notes, bar) for event in over]
    return RULE.finding(
        f"bar {bar.number} holds {amount(bar.length, bar)}, {bar.time.name} has room for "
        f"{number(units(bar.time.length, bar))}: shorten or remove {amount(surplus, bar)}",
        places[0],
        related=tuple(places[1:]),
        bar=bar.number,
    )


RULE = Rule(
    name="bar-overfull",
    group="rhythm",
    severity=Severity.ERROR,
    what="A bar holds more beats than its time signature has room for.",
    why=(
        "A bar with a beat too many can't be counted, and everything after it comes late. It is checked "
        "only "
        "where the file itself gives the lengths of the notes. Shorten or remove a note, put the bar line "
        "in its place, or correct the time signature."
    ),
    bad=BAD,
    good=BAD.replace("q  q  q  q  q", "q  q  q  e  e"),
    check=_check,
)
