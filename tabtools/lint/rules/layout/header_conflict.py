"""Two header lines give different values for one thing."""

from __future__ import annotations

from tabtools.doubts import HeaderConflict
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor
Key: C major

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


def _words(doubt: HeaderConflict) -> str:
    return (
        f"the {doubt.fact} is {doubt.second} here and {doubt.first} above; the first one counts: keep the "
        "one that holds, or put the other one above the system where it begins"
    )


RULE = Rule(
    name="header-conflict",
    group="layout",
    severity=Severity.INFO,
    what="Two header lines give different values for one thing.",
    why=("One of the two is wrong, or holds only for a later part of the page. A reader takes the first."),
    bad=BAD,
    good=GOOD,
    words=_words,
)
