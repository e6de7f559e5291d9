"""A note lacks its pitch or its duration."""

from __future__ import annotations

from tabtools.lint.elements import Reporter
from tabtools.lint.examples import LESSON, changed
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

RULE = Rule(
    name="note-incomplete",
    group="MusicXML",
    severity=Severity.ERROR,
    what="A note lacks its pitch or its duration.",
    why=(
        "Programs leave such a note out, give it no time, or refuse the file. A note without a "
        "duration is read as "
        "long as its type says, and the repair writes that."
    ),
    bad=changed("<duration>2</duration>", ""),
    good=LESSON,
    fix="safe",
    check=Reporter("note-incomplete", Severity.ERROR),
)
