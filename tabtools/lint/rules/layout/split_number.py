"""Digits that touch can't be one fret."""

from __future__ import annotations

from tabtools.doubts import SplitNumber
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor

e|-----------------|
B|--------1012-----|
G|-----9-----------|
D|-7---------------|
A|-----------------|
E|-----------------|
"""


def _words(doubt: SplitNumber) -> str:
    return (
        f"{doubt.digits} is no fret and was read as the frets {doubt.frets}: write a hyphen between two frets"
    )


RULE = Rule(
    name="split-number",
    group="layout",
    severity=Severity.WARNING,
    what="Digits that touch can't be one fret, so they must be several.",
    why=(
        "Where the digits should be parted is a guess, and another player may guess differently. Write a "
        "hyphen between two frets, and lengthen the other lines of the system by as much."
    ),
    bad=BAD,
    good=BAD.replace("1012--", "10-12-"),
    words=_words,
)
