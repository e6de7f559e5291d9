"""The strings are named otherwise than in the system before."""

from __future__ import annotations

from tabtools.doubts import LabelsChange
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Key: A minor

e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|-----------------|
E|-----------------|

e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|-----------------|
D|-----------------|
"""
GOOD = """\
Key: A minor

e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|-----------------|
E|-----------------|

e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|-----------------|
E|-----------------|
"""


def _words(doubt: LabelsChange) -> str:
    return (
        f"the string {doubt.label} was {doubt.before} in the system before, and was read as tuned anew: "
        "write Tuning: with the new tuning above this system, or correct the label"
    )


RULE = Rule(
    name="labels-change",
    group="layout",
    severity=Severity.INFO,
    what="The strings are named otherwise than in the system before.",
    why=("It may be a slip, or the player has to tune a string in between; nothing in words says so."),
    bad=BAD,
    good=GOOD,
    words=_words,
)
