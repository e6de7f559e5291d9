"""A character between the notes means nothing that is known."""

from __future__ import annotations

from tabtools.doubts import UnknownSymbol
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor

e|-----------------|
B|-------------5---|
G|-----5&--7-------|
D|-7---------------|
A|-----------------|
E|-----------------|
"""


def _words(doubt: UnknownSymbol) -> str:
    return (
        f'"{doubt.symbol}" on a string line is no fret, and no technique where it stands, and was left out: '
        "complete or replace it, or put the remark above or below the lines"
    )


RULE = Rule(
    name="unknown-symbol",
    group="layout",
    severity=Severity.WARNING,
    what="A string line holds a character that is no fret, bar line or known technique.",
    why=(
        "A reader can't know how to play it, and it is often a slip of the keyboard: a wrong digit, a "
        "letter "
        "for a number. Write the technique with its usual mark, or move the remark off the string lines."
    ),
    bad=BAD,
    good=BAD.replace("5&", "5~"),
    words=_words,
)
