"""Only some of the strings are drawn."""

from __future__ import annotations

from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule
from tabtools.lint.string_repairs import draw_silent
from tabtools.source import Doubt

BAD = """\
Tuning: standard
Key: A minor

e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
"""
GOOD = """\
Tuning: standard
Key: A minor

e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|-----------------|
E|-----------------|
"""


def _words(doubt: Doubt) -> str:
    count, size, *drawn = doubt.values
    if not drawn:
        return (
            f"only {count} lines are drawn here and {size} in every other system: draw the one that is "
            "missing, or name the strings"
        )
    return f"only {count} of {size} strings are drawn ({drawn[0]}); the others were taken to be silent"


RULE = Rule(
    name="missing-string",
    group="layout",
    severity=Severity.INFO,
    what="Only some of the strings are drawn.",
    why=(
        "Lines that are left out must be told from lines that were lost. Draw all strings, empty ones too,"
        " so that every system can be read on its own."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
    fix="unsafe",
    repairs=draw_silent,
)
