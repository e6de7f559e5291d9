"""A system has no bar lines at all."""

from __future__ import annotations

from tabtools.doubts import NoBarlines
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor

e-------------------
B--------------5----
G------5---7--------
D--7----------------
A-------------------
E-------------------
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


def _words(doubt: NoBarlines) -> str:
    return "this system has no bar lines and was read as one bar: draw one on every string where a bar ends"


RULE = Rule(
    name="no-barlines",
    group="layout",
    severity=Severity.INFO,
    what="A system has no bar lines at all.",
    why=(
        "Without bar lines nobody can tell where a bar ends or how long a note lasts. Draw one at the end "
        "of every bar, on all strings."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
