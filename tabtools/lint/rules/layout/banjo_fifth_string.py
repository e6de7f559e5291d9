"""A fret on the short fifth string can be counted in two ways."""

from __future__ import annotations

from tabtools.doubts import BanjoFifthString
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Banjo, open G tuning

D|---------|
B|-----0---|
G|-0-------|
D|---------|
g|---2-----|
"""
GOOD = """\
Banjo, open G tuning

D|---------|
B|-----0---|
G|-0-------|
D|---------|
g|---0-----|
"""


def _words(doubt: BanjoFifthString) -> str:
    return (
        f"fret {doubt.fret} on the short fifth string was counted from its own peg: counted from the nut, "
        f"the same place would be written {doubt.from_nut}"
    )


RULE = Rule(
    name="banjo-fifth-string",
    group="layout",
    severity=Severity.INFO,
    what="A fret on the short fifth string can be counted in two ways.",
    why=(
        "The fifth string of a banjo begins at the fifth fret; some writers count its frets from there and"
        " some from the nut. Say which in words."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
