"""An x stands in a chord beside fret numbers."""

from __future__ import annotations

from tabtools.doubts import XInChord
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor

e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|-x---------------|
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


def _words(doubt: XInChord) -> str:
    return (
        "this x in a chord was read as a damped note that is struck: write a hyphen if the string is left out"
    )


RULE = Rule(
    name="x-in-chord",
    group="layout",
    severity=Severity.INFO,
    what="An x stands in a chord beside fret numbers.",
    why=(
        "An x is a damped note that sounds as a click; some writers put it for a string that is left out. "
        "Leave hyphens on a string that is not played."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
