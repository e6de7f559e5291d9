"""Words about the piece that were understood in part."""

from __future__ import annotations

from tabtools.doubts import FactUnclear
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A bluesy minor

e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|-----------------|
E|-----------------|
"""


def _words(doubt: FactUnclear) -> str:
    if not doubt.understood:
        return (
            f'"{doubt.unread}" speaks of a {doubt.fact}, but not as of one that holds here, so none was '
            f"taken from it: write {doubt.fact.capitalize()}: and the value on a line of its own"
        )
    return (
        f'of what stands here the {doubt.fact} {doubt.understood} was understood and "{doubt.unread}" was '
        f"not: write {doubt.fact.capitalize()}: and the value alone, and the rest on another line"
    )


RULE = Rule(
    name="fact-unclear",
    group="layout",
    severity=Severity.WARNING,
    what="Words about tuning, key, metre, tempo or capo were understood in part or not believed.",
    why=(
        "Half a fact may be a wrong one: a bluesy minor is no major key, and a capo that was used once "
        "is none now. What was not understood may change every note."
    ),
    bad=BAD,
    good=BAD.replace("bluesy minor", "minor"),
    words=_words,
)
