"""A bar line is missing on one string, or stands in another column than on the others."""

from __future__ import annotations

from tabtools.doubts import MisalignedBarline
from tabtools.lint.finding import Severity
from tabtools.lint.places import row_name
from tabtools.lint.repairs import mend_row
from tabtools.lint.rule import Rule

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


def _words(doubt: MisalignedBarline) -> str:
    if doubt.missing:
        return f"{row_name(doubt.label)} has no bar line where the other strings have one: put it in here"
    return (
        f"the bar line on {row_name(doubt.label)} does not stand below those of the other strings: move it "
        "to their column"
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
    fix="safe",
    words=_words,
    repairs=mend_row,
)
