"""A bar is cut in two by the end of a system."""

from __future__ import annotations

from tabtools.doubts import SplitBar
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor

e|-----------------|---------
B|-------------5---|---------
G|-----5---7-------|-----5---
D|-7---------------|-7-------
A|-----------------|---------
E|-----------------|---------

e--------|-----------------|
B----5---|-----------------|
G7-------|-----------------|
D--------|-----------------|
A--------|-----------------|
E--------|-----------------|
"""
GOOD = """\
Tuning: standard
Key: A minor

e|-----------------|-----------------|
B|-------------5---|-------------5---|
G|-----5---7-------|-----5---7-------|
D|-7---------------|-7---------------|
A|-----------------|-----------------|
E|-----------------|-----------------|
"""


def _words(doubt: SplitBar) -> str:
    return (
        "this system begins in the middle of a bar: the bar was read as one with the end of the system "
        "before it; end a system where a bar ends"
    )


RULE = Rule(
    name="split-bar",
    group="layout",
    severity=Severity.INFO,
    what="A bar is cut in two by the end of a system.",
    why=(
        "A player who turns the eye to the next line loses the beat there. Break systems at bar lines only."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
