"""The string lines of one system are not equally long."""

from __future__ import annotations

from tabtools.doubts import UnevenLines
from tabtools.lint.finding import Severity
from tabtools.lint.places import row_name
from tabtools.lint.repairs import mend_row
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor

e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|------------|
E|-----------------|
"""


def _words(doubt: UnevenLines) -> str:
    difference = doubt.length - doubt.usual
    change = f"take {difference} out" if difference > 0 else f"add {-difference}"
    return (
        f"the line of {row_name(doubt.label)} is {doubt.length} characters long and the others of its system "
        f"{doubt.usual}: {change}, so that notes played together stand below each other"
    )


RULE = Rule(
    name="uneven-lines",
    group="layout",
    severity=Severity.WARNING,
    what="The string lines of one system are not equally long.",
    why=(
        "Time runs from left to right on all strings at once, so a character too few or too many moves "
        "every note after it to another moment. Look for the place where the line leaves the others, "
        "and add or take out hyphens there."
    ),
    bad=BAD,
    good=BAD.replace("A|------------|", "A|-----------------|"),
    fix="safe",
    words=_words,
    repairs=mend_row,
)
