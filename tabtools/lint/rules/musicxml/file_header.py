"""The first lines of the file do not say, or say wrongly, what it is."""

from __future__ import annotations

from tabtools.lint.elements import Reporter
from tabtools.lint.examples import LESSON, changed
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

RULE = Rule(
    name="file-header",
    group="MusicXML",
    severity=Severity.WARNING,
    what="The first lines of the file do not say, or say wrongly, what it is.",
    why=(
        "Without the right encoding names and lyrics are read as other letters, and without a version "
        "a file counts as MusicXML 1.0, in which tab is hardly known. The repair writes what the file "
        "turns out to be."
    ),
    bad=changed(' version="4.0"', ""),
    good=LESSON,
    fix="safe",
    check=Reporter("file-header", Severity.WARNING),
)
