"""A backup does not lead back to where the next voice begins."""

from __future__ import annotations

from tabtools.lint.elements import Reporter
from tabtools.lint.examples import LESSON, changed
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

RULE = Rule(
    name="backup-misplaced",
    group="MusicXML",
    severity=Severity.ERROR,
    what="A backup does not lead back to where the next voice begins.",
    why=(
        "With it everything behind begins too early or too late: the staves come apart, or the bar "
        "gets too long. "
        "The lengths of the bar and of the voices tell what it should be."
    ),
    bad=changed("<backup><duration>4</duration>", "<backup><duration>2</duration>"),
    good=LESSON,
    fix="unsafe",
    check=Reporter("backup-misplaced", Severity.ERROR),
)
