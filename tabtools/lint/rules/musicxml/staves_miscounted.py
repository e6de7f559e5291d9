"""Notes stand on more staves than the part says it has."""

from __future__ import annotations

from tabtools.lint.elements import Reporter
from tabtools.lint.examples import LESSON, changed
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

RULE = Rule(
    name="staves-miscounted",
    group="MusicXML",
    severity=Severity.ERROR,
    what="Notes stand on more staves than the part says it has.",
    why=(
        "Programs that count on the number put all notes on one staff, or drop those of the others. "
        "The repair writes "
        "the number where there is a clef for each staff."
    ),
    bad=changed("<staves>2</staves>", ""),
    good=LESSON,
    fix="safe",
    check=Reporter("staves-miscounted", Severity.ERROR),
)
