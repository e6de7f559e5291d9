"""A bar of a MusicXML file holds less than its time signature."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.lint.examples import LESSON, SHORT
from tabtools.lint.finding import Finding, Severity
from tabtools.lint.places import span_of
from tabtools.lint.rule import Rule
from tabtools.lint.rules.bar_overfull import amount
from tabtools.lint.view import View
from tabtools.score import Part


def _check(view: View) -> Iterable[Finding]:
    if view.document.tree is None:
        return
    for part in view.score.parts:
        for place, bar in enumerate(part.bars):
            if bar.events and bar.length < bar.time.length and not _may_be_short(part, place):
                missing = bar.time.length - bar.length
                yield RULE.finding(
                    f"bar {bar.number} holds {amount(bar.length, bar)}, and {bar.time.name} asks for "
                    f"{amount(bar.time.length, bar)}: write {amount(missing, bar)} more, or a rest",
                    span_of(bar, bar.events[0]),
                    bar=bar.number,
                )


def _may_be_short(part: Part, place: int) -> bool:
    """A pickup, a bar that a repeat or ending cuts in two, and the last bar, which the pickup completes."""
    bar = part.bars[place]
    before = part.bars[place - 1] if place else None
    after = part.bars[place + 1] if place + 1 < len(part.bars) else None
    cut = bar.repeat_start or bar.repeat_times or bar.endings
    beside = (before is not None and before.repeat_times) or (after is not None and after.repeat_start)
    return bool(bar.pickup or cut or beside or before is None or after is None)


RULE = Rule(
    name="bar-underfull",
    group="rhythm",
    severity=Severity.WARNING,
    what="A bar holds less than its time signature asks for.",
    why=(
        "What follows comes too early, or the players of the parts come apart. Pickups, the bars beside a "
        "repeat or an ending, and the last bar may be short. Add the rest that is missing, correct the "
        'length of a note, or mark a bar that is meant to be short with implicit="yes".'
    ),
    bad=SHORT,
    good=LESSON,
    check=_check,
)
