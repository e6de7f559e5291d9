"""A slur, hammer-on, pull-off or slide has only one of its ends."""

from __future__ import annotations

from tabtools.lint.elements import Reporter
from tabtools.lint.examples import LESSON, changed
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

_START = '<hammer-on type="start">H</hammer-on>'
RULE = Rule(
    name="broken-join",
    group="MusicXML",
    severity=Severity.WARNING,
    what="A slur, hammer-on, pull-off or slide has only one of its ends.",
    why=(
        "These marks come in pairs, start and stop, with the same number. With one end missing "
        "programs draw the mark to the end of the piece or leave it out, and nobody knows which notes "
        "are joined. Write the other end, or remove this one."
    ),
    bad=changed("<fret>4</fret>", "<fret>4</fret>" + _START),
    good=LESSON,
    fix="unsafe",
    check=Reporter("broken-join", Severity.WARNING),
)
