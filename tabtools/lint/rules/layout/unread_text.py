"""Characters that no part of the page explains."""

from __future__ import annotations

from tabtools.doubts import UnreadText
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule
from tabtools.text.page.kinds import KINDS

BAD = """\
Tuning: standard
Key: A minor

e|-----------------|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|-----------------|
E|-----------------|

?--5-7-9--7-5---
"""


def _words(doubt: UnreadText) -> str:
    return f'"{doubt.text}" was not read: it looks like {doubt.looks}'


RULE = Rule(
    name="unread-text",
    group="layout",
    severity=Severity.WARNING,
    what="A line, or a part of one, is nothing that is known, and was left out.",
    why=(
        "What is left out in silence may be music: a string without its name, a row away from its system. "
        "Each run of characters that nothing explains is told, so that nothing gets lost. A line around the "
        "strings is one of these: " + "; ".join(f"{name} ({kind.says})" for name, kind in KINDS.items()) + "."
    ),
    bad=BAD,
    good=BAD.partition("\n\n?")[0] + "\n",
    words=_words,
)
