"""The written value of a note is not its duration."""

from __future__ import annotations

from tabtools.lint.elements import Reporter
from tabtools.lint.examples import LESSON, changed
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

RULE = Rule(
    name="type-duration-mismatch",
    group="MusicXML",
    severity=Severity.ERROR,
    what="The written value of a note is not its duration.",
    why=(
        "The page shows the type and the dots, programs play the duration: when the two differ, "
        "students see another rhythm than they hear. The bar tells which of them is right: with it "
        "the bar is full."
    ),
    bad=changed("<type>half</type>", "<type>quarter</type>"),
    good=LESSON,
    fix="safe",
    check=Reporter("type-duration-mismatch", Severity.ERROR),
)
