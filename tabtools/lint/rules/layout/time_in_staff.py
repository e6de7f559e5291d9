"""A time signature is drawn among the notes."""

from __future__ import annotations

from tabtools.doubts import TimeInStaff
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor

e|---|------------|
B|---|-----------5|
G|-3-|-----5---7--|
D|-4-|-7----------|
A|---|------------|
E|---|------------|
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


def _words(doubt: TimeInStaff) -> str:
    return (
        f"these two numbers were read as the time signature {doubt.time}, not as notes: write it in the "
        "header"
    )


RULE = Rule(
    name="time-in-staff",
    group="layout",
    severity=Severity.INFO,
    what="A time signature is drawn among the notes.",
    why=("Two numbers below each other look like a chord. Write the metre in the header: Time: 3/4."),
    bad=BAD,
    good=GOOD,
    words=_words,
)
