"""A slide may join two notes, or come from nowhere or go there."""

from __future__ import annotations

from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule
from tabtools.source import Doubt

BAD = """\
Tuning: standard
Key: A minor

e|-----------------|
B|-------------5---|
G|-----5/--7-------|
D|-7---------------|
A|-----------------|
E|-----------------|
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
    sign, fret = doubt.values
    if fret.startswith("from "):
        return (
            f'"{sign}" touches the note behind it only and was read as a slide in from nowhere: write it '
            f"right behind the {fret.removeprefix('from ')} too if it comes from there"
        )
    return (
        f'"{sign}" touches the note before it only and was read as a slide to nowhere: write it right before '
        f"the {fret} too if it goes there"
    )


RULE = Rule(
    name="ambiguous-slide",
    group="layout",
    severity=Severity.INFO,
    what="A slide may join two notes, or come from nowhere or go there.",
    why=(
        "The sign touches one note and not the other. Write it against both notes, or leave more room "
        "between them."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
