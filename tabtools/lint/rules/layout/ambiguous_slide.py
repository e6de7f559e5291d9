"""A slide may join two notes, or come from nowhere or go there."""

from __future__ import annotations

from tabtools.doubts import SlideInOrFrom, SlideOutOrTo
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

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


def _words(doubt: SlideInOrFrom | SlideOutOrTo) -> str:
    if isinstance(doubt, SlideInOrFrom):
        return (
            f'"{doubt.sign}" touches the note behind it only and was read as a slide in from nowhere: write '
            f"it right behind the {doubt.fret} too if it comes from there"
        )
    return (
        f'"{doubt.sign}" touches the note before it only and was read as a slide to nowhere: write it right '
        f"before the {doubt.fret} too if it goes there"
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
