"""The line breaks of the page are written out or lost."""

from __future__ import annotations

from tabtools.doubts import Flattened
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

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
BAD = GOOD.strip().replace("\n", "\\n") + "\n"


def _words(doubt: Flattened) -> str:
    return (
        f"{doubt.lines} lines stand on this one and were read as lines below each other: break the line "
        "where they begin"
    )


RULE = Rule(
    name="flattened",
    group="layout",
    severity=Severity.WARNING,
    what="The line breaks of the page are written out or lost.",
    why=(
        "Nobody can read strings that do not stand below each other, and no other program will. The text "
        "came out of a string of code or a field that drops line breaks: save it as plain lines."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
