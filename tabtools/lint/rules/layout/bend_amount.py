"""A bend does not say how far."""

from __future__ import annotations

from tabtools.doubts import BendAmount
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor

e|-----------------|
B|-------------5---|
G|-----5---7b------|
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


def _words(doubt: BendAmount) -> str:
    return "this bend says no amount: write the fret that it reaches, as in 7b9, or full or 1/2 above it"


RULE = Rule(
    name="bend-amount",
    group="layout",
    severity=Severity.INFO,
    what="A bend does not say how far.",
    why=(
        "Half a step and a whole step are different notes. Write the fret that the bend reaches after the "
        "b, or the amount above it."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
