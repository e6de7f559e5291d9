"""The first or last bar of a system has no bar line at its outer side."""

from __future__ import annotations

from tabtools.doubts import UnclosedBar
from tabtools.lint.finding import Severity
from tabtools.lint.repairs import close_bar
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor

e|-----------------
B|-------------5---
G|-----5---7-------
D|-7---------------
A|-----------------
E|-----------------
"""
GOOD = """\
Tuning: standard
Key: A minor

e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|-----------------|
E|-----------------|
"""


def _words(doubt: UnclosedBar) -> str:
    side, which = ("after", "last") if doubt.last else ("before", "first")
    return f"there is no bar line {side} the {which} bar of this system: draw one on every string"


RULE = Rule(
    name="unclosed-bar",
    group="layout",
    severity=Severity.INFO,
    what="The first or last bar of a system has no bar line at its outer side.",
    why=(
        "It may be a bar that goes on elsewhere, or the end may have got lost. Close it with a bar line on"
        " all strings."
    ),
    bad=BAD,
    good=GOOD,
    fix="safe",
    words=_words,
    repairs=close_bar,
)
