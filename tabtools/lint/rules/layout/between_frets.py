"""A harmonic is touched between two frets."""

from __future__ import annotations

from tabtools.doubts import BetweenFrets
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: E minor

e|-----------------|
B|-----------------|
G|-<3.2>---<2.7>---|
D|-----------------|
A|-----------------|
E|-----------------|
"""
GOOD = """\
Tuning: standard
Key: E minor

e|-----------------|
B|-----------------|
G|-<4>-----<5>-----|
D|-----------------|
A|-----------------|
E|-----------------|
"""


def _words(doubt: BetweenFrets) -> str:
    return (
        f"{doubt.written} lies between two frets and was read as fret {doubt.fret}: a score has whole frets "
        "only"
    )


RULE = Rule(
    name="between-frets",
    group="layout",
    severity=Severity.INFO,
    what="A harmonic is touched between two frets.",
    why=(
        "Some harmonics ring a little beside a fret, and writers say so in tenths. What is made of the page, "
        "notation or another tab, has the nearest fret."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
