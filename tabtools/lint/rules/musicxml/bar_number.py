"""The number of a bar does not follow the one before."""

from __future__ import annotations

from tabtools.lint.elements import Reporter
from tabtools.lint.examples import LESSON, changed
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

RULE = Rule(
    name="bar-number",
    group="MusicXML",
    severity=Severity.WARNING,
    what="The number of a bar does not follow the one before.",
    why=(
        "Teacher and student speak of bars by number, and programs name places by it. Where only "
        "one number is off, "
        "the repair corrects it; where the numbers jump, a bar may be missing."
    ),
    bad=changed('<measure number="2">', '<measure number="1">'),
    good=LESSON,
    fix="safe",
    check=Reporter("bar-number", Severity.WARNING),
)
