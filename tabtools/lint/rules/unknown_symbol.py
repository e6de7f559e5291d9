"""A character between the notes means nothing that is known."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.document import Document
from tabtools.lint.finding import Finding, Severity
from tabtools.lint.places import doubt_findings
from tabtools.lint.rule import Rule
from tabtools.source import Doubt

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


def _check(document: Document) -> Iterable[Finding]:
    return doubt_findings(RULE, document, _message)


def _message(doubt: Doubt) -> str:
    (symbol,) = doubt.values
    return (
        f'"{symbol}" on a string line is no fret and no technique that is known, and was left out: '
        "replace it, or put the remark above or below the lines"
    )


RULE = Rule(
    name="unknown-symbol",
    group="layout",
    severity=Severity.WARNING,
    what="A string line holds a character that is no fret, bar line or known technique.",
    why=(
        "A reader can't know how to play it, and it is often a slip of the keyboard: a wrong digit, a letter "
        "for a number. Write the technique with its usual mark, or move the remark off the string lines."
    ),
    bad=BAD,
    good=BAD.replace("5&", "5~"),
    check=_check,
)
