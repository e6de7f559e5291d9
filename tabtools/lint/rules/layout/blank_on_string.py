"""A blank stands among the hyphens of a string line."""

from __future__ import annotations

from tabtools.doubts import BlankOnString
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor

e|-----------------|
B|-------------5---|
G|-----5---7-- ----|
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


def _words(_: BlankOnString) -> str:
    return "this blank was read like a hyphen: put a hyphen here, or the fret that got lost"


RULE = Rule(
    name="blank-on-string",
    group="layout",
    severity=Severity.INFO,
    what="A blank stands among the hyphens of a string line.",
    why=("Between two blocks a blank is a gap, and among hyphens it is a slip: a hyphen or a fret is lost."),
    bad=BAD,
    good=GOOD,
    words=_words,
)
