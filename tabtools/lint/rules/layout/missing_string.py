"""Only some of the strings are drawn."""

from __future__ import annotations

from tabtools.doubts import RowLost, StringsLeftOut
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule
from tabtools.lint.string_repairs import draw_silent

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


def _words(doubt: RowLost | StringsLeftOut) -> str:
    if isinstance(doubt, RowLost):
        return (
            f"only {doubt.rows} lines are drawn here and {doubt.usual} in every other system: draw the one "
            "that is missing, or name the strings"
        )
    drawn = " ".join(map(str, doubt.drawn))
    return (
        f"only {len(doubt.drawn)} of {doubt.size} strings are drawn ({drawn}); the others were taken to be "
        "silent"
    )


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
