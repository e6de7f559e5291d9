"""A repeat does not say where it begins."""

from __future__ import annotations

from tabtools.doubts import RepeatExtent
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor

e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|-----------------|
E|-----------------|

x3

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

e|-----------------| x3
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


def _words(doubt: RepeatExtent) -> str:
    taken = "the music before it was taken" if doubt.music_taken else "no music was taken"
    return (
        f"it is open what is played {doubt.passes} times; {taken}: put |: and :| at the ends of the repeat, "
        "or the count beside the system"
    )


RULE = Rule(
    name="repeat-extent",
    group="layout",
    severity=Severity.INFO,
    what="A repeat does not say where it begins.",
    why=(
        "A count between two systems or before them all, or a closing sign without an opening one, may be "
        "meant for a bar, a system or a section."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
