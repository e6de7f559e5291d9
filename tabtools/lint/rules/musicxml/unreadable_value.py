"""An element should hold a number or a pitch, and holds none."""

from __future__ import annotations

from tabtools.lint.elements import Reporter
from tabtools.lint.examples import LESSON, changed
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

RULE = Rule(
    name="unreadable-value",
    group="MusicXML",
    severity=Severity.ERROR,
    what="An element should hold a number or a pitch, and holds none.",
    why=(
        "The rest of the file is read as if the element were not there: a note without a fret, a bar in the "
        "divisions of the bar before. Programs do other things with it, or refuse the file. Write the value."
    ),
    bad=changed("<fret>4</fret>", "<fret></fret>"),
    good=LESSON,
    check=Reporter("unreadable-value", Severity.ERROR),
)
