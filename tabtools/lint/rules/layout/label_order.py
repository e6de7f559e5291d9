"""The lowest string stands on top."""

from __future__ import annotations

from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule
from tabtools.source import Doubt

BAD = """\
Tuning: standard
Key: A minor

E|-----------------|
A|-----------------|
D|-7---------------|
G|-----5---7-------|
B|-------------5---|
e|-----------------|
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


def _words(doubt: Doubt) -> str:
    (number,) = doubt.values
    return (
        f"the top line is string {number}: the system was read with its lowest string on top, other than "
        "tab is usually drawn"
    )


RULE = Rule(
    name="label-order",
    group="layout",
    severity=Severity.INFO,
    what="The lowest string stands on top.",
    why=(
        "Nearly all tab is drawn with the highest string on top, so a reader may take the page upside "
        "down. Turn the lines round, or say the order in words above them."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
