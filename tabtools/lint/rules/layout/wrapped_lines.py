"""String lines were broken by a narrow margin."""

from __future__ import annotations

from tabtools.doubts import WrappedLines
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor

e|------------
-----|
B|------------
-5---|
G|-----5---7--
-----|
D|-7----------
-----|
A|------------
-----|
E|------------
-----|
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


def _words(doubt: WrappedLines) -> str:
    return (
        f"{doubt.rows} string lines were broken at a margin and were put together again, each with the piece "
        "below it: write each string on one line"
    )


RULE = Rule(
    name="wrapped-lines",
    group="layout",
    severity=Severity.WARNING,
    what="String lines were broken by a narrow margin.",
    why=(
        "Each line ends on the line below it, so that no strings stand below each other. Put every string "
        "on one line again."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
