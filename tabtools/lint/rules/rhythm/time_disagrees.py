"""A time signature that no bar keeps."""

from __future__ import annotations

from tabtools.doubts import TimeDisagrees
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Time: 3/4

  q  q  q  q   q  q  h
e|-0--1--3--5-|-0--1--3-----|
B|------------|-------------|
G|------------|-------------|
D|------------|-------------|
A|------------|-------------|
E|------------|-------------|
"""


def _words(doubt: TimeDisagrees) -> str:
    return (
        f"the page says {doubt.written}, but its {doubt.bars} bars are drawn for {doubt.shown} and were read "
        "in that: correct the time signature, or the bars"
    )


RULE = Rule(
    name="time-disagrees",
    group="rhythm",
    severity=Severity.WARNING,
    what="The time signature of the page is not the one that its bars are drawn for.",
    why=(
        "One slip in a header changes how every bar is counted. All bars together are the better witness: "
        "they are read as they are drawn. Correct the time signature."
    ),
    bad=BAD,
    good=BAD.replace("3/4", "4/4"),
    words=_words,
)
