"""A note stands between the places where all other notes of the part stand."""

from __future__ import annotations

from tabtools.doubts import OffGrid
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor

e|---------5---5---|-8---7---5--7----|
B|-----5-----------|-----------------|
G|-5---------------|-----------------|
D|-----------------|-7-------7-------|
A|-----------------|-----------------|
E|-----------------|-----------------|
"""
GOOD = """\
Tuning: standard
Key: A minor

e|---------5---5---|-8---7---5---7---|
B|-----5-----------|-----------------|
G|-5---------------|-----------------|
D|-----------------|-7-------7-------|
A|-----------------|-----------------|
E|-----------------|-----------------|
"""


def _words(doubt: OffGrid) -> str:
    return (
        f"the other notes of this part stand {doubt.step} columns apart or a multiple of that, and this one "
        "stands between: move it, or take it out if it slipped in"
    )


RULE = Rule(
    name="off-grid",
    group="layout",
    severity=Severity.INFO,
    what="A note stands between the places where all other notes of the part stand.",
    why=(
        "Most writers give every note its place in a grid. One that stands beside it was shifted, or it is "
        "a digit too many. Where it is meant so, nothing need be done."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
