"""A fret in brackets can mean several things."""

from __future__ import annotations

from tabtools.doubts import BracketedNote
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: standard
Key: A minor

e|-----------------|-----------------|
B|-------------5---|-(5)-------------|
G|-----5---7-------|---------7-------|
D|-7---------------|-----------------|
A|-----------------|-----------------|
E|-----------------|-----------------|
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


def _words(doubt: BracketedNote) -> str:
    return f"{doubt.written} was read as {doubt.reading}; brackets can also mean a note that is barely played"


RULE = Rule(
    name="bracketed-note",
    group="layout",
    severity=Severity.INFO,
    what="A fret in brackets can mean several things.",
    why=(
        "Brackets stand for a note that is held, for one that is barely played and for where a bend goes. "
        "Say what they mean in a legend."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
