"""Two positions of the hand suit some notes about as well."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.fingering.plan import Plan
from tabtools.fingering.readings import TwoPositions, plans, two_positions
from tabtools.lint.finding import Finding, Severity
from tabtools.lint.places import span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View

BAD = """\
Tuning: standard
Tempo: 100

   e e e e e e e e
e|-----------------|
B|-----------------|
G|-7-7-7-7-7-7-7-7-|
D|-----------------|
A|-----------------|
E|-----------------|
"""


def _check(view: View) -> Iterable[Finding]:
    for plan in view.stage(plans, view.settings.hand):
        for found in two_positions(plan):
            yield _finding(plan, found)


def _finding(plan: Plan, found: TwoPositions) -> Finding:
    bars = plan.part.bars
    spans = []
    for at in found.notes:
        event = bars[at.bar].events[at.event]
        spans.append(span_of(event.notes[at.note], event, bars[at.bar]))
    first, last = bars[found.notes[0].bar].number, bars[found.notes[-1].bar].number
    where = f"bar {first}" if first == last else f"bars {first} to {last}"
    readings = " or ".join(
        f"position {position} (fingers {' '.join(map(str, fingers))})"
        for position, fingers in zip(found.positions, found.fingers, strict=True)
    )
    message = (
        f"{len(found.notes)} notes in {where} lie about as well in {readings}, {found.margin:.1f} of a "
        "small shift "
        "apart: say which is meant, if it matters"
    )
    return RULE.finding(message, spans[0], related=tuple(spans[1:]), bar=first)


RULE = Rule(
    name="ambiguous-position",
    group="position",
    severity=Severity.INFO,
    what="Two positions of the hand suit some notes about as well.",
    why=(
        "Tab says string and fret, not the finger. Where the hand may stand in two places at nearly the "
        "same "
        "cost, students will choose differently: a lesson that is about a position had better name it."
    ),
    bad=BAD,
    good=BAD.replace("7-7-7-7-7-7-7-7", "5-7-8-5-7-8-7-5"),
    check=_check,
)
