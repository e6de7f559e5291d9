"""The legend gives one mark two meanings."""

from __future__ import annotations

from tabtools.doubts import LegendConflict
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor

e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|-----------------|
E|-----------------|

s = slide
s = slap
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


def _words(doubt: LegendConflict) -> str:
    return (
        f"the legend says that {doubt.mark} is {doubt.first} and that it is {doubt.second}; it was read as "
        f"{doubt.first}"
    )


RULE = Rule(
    name="legend-conflict",
    group="layout",
    severity=Severity.INFO,
    what="The legend gives one mark two meanings.",
    why=("A reader cannot tell which one holds. Give each technique a mark of its own."),
    bad=BAD,
    good=GOOD,
    words=_words,
)
