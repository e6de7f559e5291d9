"""Endings that are not numbered one after the other."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import pairwise

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.places import span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.score import Bar, Part

BAD = """\
Time: 2/4

             1.         3.
e|:-0---2---|-3---2--:|-0-------|
B|:---------|--------:|---------|
G|:---------|--------:|---------|
D|:---------|--------:|---------|
A|:---------|--------:|---------|
E|:---------|--------:|---------|
"""


def _check(view: View) -> Iterable[Finding]:
    for part in view.score.parts:
        for group in _groups(part):
            yield from _disorder(group)


def _groups(part: Part) -> Iterator[list[Bar]]:
    """The first bars of the endings that follow each other, with no common bar between."""
    group: list[Bar] = []
    for before, bar in pairwise((None, *part.bars)):
        assert bar is not None
        if not bar.endings:
            if group:
                yield group
            group = []
        elif before is None or before.endings != bar.endings or before.repeat_times:
            group.append(bar)
    if group:
        yield group


def _disorder(group: list[Bar]) -> Iterator[Finding]:
    expected = 1
    for bar in group:
        if bar.endings[0] != expected:
            number = bar.endings[0]
            yield RULE.finding(
                f"ending {number} at bar {bar.number} stands where ending {expected} is due: number the "
                "endings 1, 2 and so on",
                span_of(bar),
                bar=bar.number,
            )
            return
        expected = bar.endings[-1] + 1
    if len(group) == 1 and expected == 2 and not group[0].repeat_times:
        return
    if expected == 2 and len(group) == 1:
        bar = group[0]
        yield RULE.finding(
            f"bar {bar.number} is the first ending, and there is no second one: write 2. over the bar that "
            "is played instead the last time",
            span_of(bar),
            severity=Severity.INFO,
            bar=bar.number,
        )


RULE = Rule(
    name="endings-disagree",
    group="rhythm",
    severity=Severity.WARNING,
    what="Endings are not numbered 1, 2 and so on.",
    why=(
        "Each pass through a repeat looks for the ending of its own number. One that is missing, or there "
        "twice, leaves the player with nowhere to go."
    ),
    bad=BAD,
    good=BAD.replace("3.", "2."),
    check=_check,
)
