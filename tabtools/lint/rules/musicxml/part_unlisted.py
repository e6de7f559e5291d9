"""The list of parts at the top of the file does not name a part."""

from __future__ import annotations

from tabtools.lint.elements import Reporter
from tabtools.lint.examples import LESSON, changed
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

RULE = Rule(
    name="part-unlisted",
    group="MusicXML",
    severity=Severity.ERROR,
    what="The list of parts at the top of the file does not name a part.",
    why=(
        "A part gets its name and its instrument from the entry of the list that has its id. Without one "
        "programs refuse the file or leave the part out."
    ),
    bad=changed('<part id="P1">', '<part id="P2">'),
    good=LESSON,
    fix="safe",
    check=Reporter("part-unlisted", Severity.ERROR),
)
