"""An element or attribute is none that MusicXML has."""

from __future__ import annotations

from tabtools.lint.elements import Reporter
from tabtools.lint.examples import LESSON, changed
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

RULE = Rule(
    name="unknown-element",
    group="MusicXML",
    severity=Severity.WARNING,
    what="An element or attribute is none that MusicXML has.",
    why=(
        "A name with a slip in it says nothing to any program: what was meant is not there. Files keep such "
        "elements when they are converted, but nothing is read from them."
    ),
    bad=changed("<type>half</type>", "<type>half</type><dott/>"),
    good=LESSON,
    check=Reporter("unknown-element", Severity.WARNING),
)
