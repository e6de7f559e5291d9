"""A bar line is missing on one string, or stands in another column than on the others."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.document import Document
from tabtools.lint.finding import Finding, Severity
from tabtools.lint.places import doubt_findings, row_name
from tabtools.lint.rule import Rule
from tabtools.source import Doubt

BAD = """\
Tuning: standard
Key: A minor

e|-----------|-----5-----|
B|---------5--|----------|
G|-----5-----|-5---------|
D|-7---------|-----------|
A|-----------|-----------|
E|-----------|-----------|
"""


def _check(document: Document) -> Iterable[Finding]:
    # The last bar line of a line of another length is a matter of uneven-lines.
    uneven = [doubt.span for doubt in document.doubts if doubt.kind == "uneven-lines"]
    for finding in doubt_findings(RULE, document, _message):
        if not any(span.start <= finding.span.start <= span.end for span in uneven):
            yield finding


def _message(doubt: Doubt) -> str:
    how, label = doubt.values
    if how == "missing":
        return f"{row_name(label)} has no bar line where the other strings have one: put it in here"
    return (
        f"the bar line on {row_name(label)} does not stand below those of the other strings: move it to "
        "their column"
    )


RULE = Rule(
    name="misaligned-barline",
    group="layout",
    severity=Severity.WARNING,
    what="A bar line is missing on one string or stands in another column than on the others.",
    why=(
        "The notes near it may belong to either bar. Count the characters of the line between the two bar "
        "lines: usually one hyphen is too many or one is missing."
    ),
    bad=BAD,
    good=BAD.replace("5--|----------|", "5-|-----------|"),
    check=_check,
)
