"""A string line is named other than the tuning in the header."""

from __future__ import annotations

from tabtools.doubts import TuningDisagrees
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule
from tabtools.lint.string_repairs import name_as_header

BAD = """\
Tuning: D A D G B E
Key: A minor

e|-----------------|
B|-------------5---|
G|-----5---7-------|
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


def _words(doubt: TuningDisagrees) -> str:
    return (
        f"the line is called {doubt.label}, but by the header string {doubt.string} is tuned to "
        f"{doubt.note}, and it was read as that: correct one of the two"
    )


RULE = Rule(
    name="tuning-disagrees",
    group="layout",
    severity=Severity.WARNING,
    what="A string line is named other than the tuning in the header.",
    why=(
        "The page gives two tunings, and every note on that string depends on which is right. Correct the "
        "header or the name of the line."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
    fix="unsafe",
    repairs=name_as_header,
)
