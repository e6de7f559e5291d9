"""Notes of one chord stand a column apart."""

from __future__ import annotations

from tabtools.doubts import MisalignedNotes
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor

e|-----------------|
B|------5------5---|
G|-----5---7-------|
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


def _words(doubt: MisalignedNotes) -> str:
    return (
        f"the frets {doubt.frets} stand one column apart and were read as struck together: write them below "
        "each other, or further apart"
    )


RULE = Rule(
    name="misaligned-notes",
    group="layout",
    severity=Severity.WARNING,
    what="Notes of one chord stand a column apart.",
    why=(
        "Whether they are struck together or one after the other is then a guess. Move the notes of a "
        "chord to one column; two figures in a number push the rest of their line to the right, unless a "
        "hyphen goes."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
