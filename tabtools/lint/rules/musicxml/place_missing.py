"""A note on a tab staff lacks its string or its fret."""

from __future__ import annotations

from tabtools.lint.elements import Reporter
from tabtools.lint.examples import LESSON, changed
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

RULE = Rule(
    name="place-missing",
    group="MusicXML",
    severity=Severity.WARNING,
    what="A note on a tab staff lacks its string or its fret.",
    why=(
        "Programs leave such a note out of the tab, or put it where they like. Where the other of the two "
        "and the pitch leave one place, the repair writes it. A tab staff on which no note has a place is "
        "one to be fingered, and not reported."
    ),
    bad=changed("<string>4</string>", ""),
    good=LESSON,
    fix="unsafe",
    check=Reporter("place-missing", Severity.WARNING),
)
