"""A string line has no name, though the others do."""

from __future__ import annotations

from tabtools.doubts import OddLabel
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor

e|-----------------|
B|-------------5---|
|-----5---7-------|
D|-7---------------|
A|-----------------|
E|-----------------|
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


def _words(doubt: OddLabel) -> str:
    if doubt.label:
        return (
            f"no string of this {doubt.instrument.lower()} is called {doubt.label}: correct the name of the "
            "line"
        )
    return "this line has no name and the others of its system do: write the name of its string in front"


RULE = Rule(
    name="odd-label",
    group="layout",
    severity=Severity.WARNING,
    what="A string line has no name, though the others do.",
    why=(
        "A name that is missing is usually a character that was lost, and everything after it on that line"
        " may have moved with it. Write the name, and check that the bar lines still stand below each "
        "other."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
