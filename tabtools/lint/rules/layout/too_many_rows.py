"""Bare rows go on below each other for more than one system."""

from __future__ import annotations

from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule
from tabtools.source import Doubt

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


def _words(doubt: Doubt) -> str:
    count, height = doubt.values
    return (
        f"{count} rows without names follow each other and were read as systems of {height}, one after the "
        "other: put a blank line between systems, or name the guitars that play together"
    )


RULE = Rule(
    name="too-many-rows",
    group="layout",
    severity=Severity.INFO,
    what="Bare rows go on below each other for more than one system.",
    why=("The rows may be two systems in turn, or two guitars that play at once."),
    bad=BAD,
    good=GOOD,
    words=_words,
)
