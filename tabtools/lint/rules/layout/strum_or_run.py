"""Notes slant over neighbouring strings, one column each."""

from __future__ import annotations

from tabtools.doubts import StrumOrRun
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor

e|-----------------|
B|-----------------|
G|-----5---7-------|
D|----7------------|
A|---7-------------|
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


def _words(doubt: StrumOrRun) -> str:
    return (
        f"{doubt.notes} notes slant over neighbouring strings and were read one after the other: for a slow "
        "strum write them in one column"
    )


RULE = Rule(
    name="strum-or-run",
    group="layout",
    severity=Severity.INFO,
    what="Notes slant over neighbouring strings, one column each.",
    why=(
        "It may be a chord that is strummed slowly, or a run of single notes. Write a chord in one column,"
        " or give single notes more room."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
