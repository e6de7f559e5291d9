"""A sentence asks to let notes ring."""

from __future__ import annotations

from tabtools.doubts import LetRingSentence
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor

Let everything ring.

e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|-----------------|
E|-----------------|
"""
GOOD = """\
Tuning: standard
Key: A minor

   let ring---|
e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|-----------------|
E|-----------------|
"""


def _words(doubt: LetRingSentence) -> str:
    return (
        f'"{doubt.words}" was kept as words and marks no note: write let ring and hyphens over the notes '
        "that it is meant for"
    )


RULE = Rule(
    name="let-ring-sentence",
    group="layout",
    severity=Severity.INFO,
    what="A sentence asks to let notes ring.",
    why=(
        "A sentence does not say where the ringing ends, so that no note is marked by it. Over the notes, "
        "let ring with hyphens behind it says it exactly."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
