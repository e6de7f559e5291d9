"""An element is empty and says nothing."""

from __future__ import annotations

from tabtools.lint.elements import Reporter
from tabtools.lint.examples import LESSON, changed
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

RULE = Rule(
    name="empty-element",
    group="MusicXML",
    severity=Severity.WARNING,
    what="An element is empty and says nothing.",
    why=(
        "Programs leave such elements behind when something is deleted. They mean nothing, and some "
        "readers, and for some of the elements the schema too, refuse the file because of them. The "
        "repair takes them out."
    ),
    bad=changed("<staff>1</staff>", "<staff>1</staff><notations></notations>"),
    good=LESSON,
    fix="safe",
    check=Reporter("empty-element", Severity.WARNING),
)
