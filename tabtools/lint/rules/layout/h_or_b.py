"""The page has both H and B."""

from __future__ import annotations

from tabtools.doubts import HOrB
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor

   Hm7b5   B
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

   Bm7b5   Bb
e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|-----------------|
E|-----------------|
"""


def _words(_: HOrB) -> str:
    return (
        "this B was read as B natural, but the page has an H too, and with H a B is B flat: write Bb for B "
        "flat, and B for H"
    )


RULE = Rule(
    name="h-or-b",
    group="layout",
    severity=Severity.INFO,
    what="The page has both H and B.",
    why=(
        "In German, Czech, Polish and Nordic pages H is B natural and B is B flat. A page that has both can "
        "mean either by its B."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
