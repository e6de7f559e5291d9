"""Bare rows go on below each other for more than one system."""

from __future__ import annotations

from tabtools.doubts import RowTwice, StackedRows
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor

|-----------------|
|-------------5---|
|-----5---7-------|
|-7---------------|
|-----------------|
|-----------------|
|-----------------|
|-------------5---|
|-----5---7-------|
|-7---------------|
|-----------------|
|-----------------|
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

e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|-----------------|
E|-----------------|
"""


def _words(doubt: RowTwice | StackedRows) -> str:
    if isinstance(doubt, RowTwice):
        return (
            f"{doubt.rows} lines are drawn here and {doubt.usual} in every other system: take out the one "
            "that stands here twice"
        )
    return (
        f"{doubt.rows} rows without names follow each other and were read as systems of {doubt.height}, one "
        "after the other: put a blank line between systems, or name the guitars that play together"
    )


RULE = Rule(
    name="too-many-rows",
    group="layout",
    severity=Severity.INFO,
    what="Rows go on below each other for more than one system, or one stands twice.",
    why="The rows may be two systems in turn, or two guitars that play at once; or a line was copied.",
    bad=BAD,
    good=GOOD,
    words=_words,
)
