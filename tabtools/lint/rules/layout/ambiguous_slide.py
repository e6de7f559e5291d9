"""A slide may go to the next note or to nowhere."""

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
    return (
        f'"{sign}" touches the note before it only and was read as a slide to nowhere: write it right before '
        f"the {fret} too if it goes there"
    )


RULE = Rule(
    name="ambiguous-slide",
    group="layout",
    severity=Severity.INFO,
    what="A slide may go to the next note or to nowhere.",
    why=(
        "The sign touches one note and not the next. Write it against both notes, or leave more room "
        "behind it."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
