"""A character on a string line stands for another one."""

from __future__ import annotations

from tabtools.doubts import StrayCharacter
from tabtools.lint.finding import Edit, Fix, Severity
from tabtools.lint.rule import Rule
from tabtools.lint.view import View

BAD = """\
Tuning: standard
Key: A minor

e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|---o-------------|
E|-----------------|
"""
GOOD = """\
Tuning: standard
Key: A minor

e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|---0-------------|
E|-----------------|
"""


def _words(doubt: StrayCharacter) -> str:
    return f'"{doubt.written}" on a string line was read as "{doubt.meant}": type that instead'


def _repairs(view: View, doubt: StrayCharacter) -> tuple[Fix, ...]:
    """Type what was read anyhow, so that nothing that is played can change."""
    return (Fix((Edit(doubt.span, doubt.meant),), f'write "{doubt.meant}" for "{doubt.written}"', safe=True),)


RULE = Rule(
    name="stray-character",
    group="layout",
    severity=Severity.WARNING,
    what="A character on a string line stands for another one.",
    why=(
        "A letter O for a zero and a long dash for two hyphens look right and read wrong: the one is no "
        "fret, and the other moves everything behind it. Type the digit or the hyphens."
    ),
    bad=BAD,
    good=GOOD,
    fix="safe",
    words=_words,
    repairs=_repairs,
)
