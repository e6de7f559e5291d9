"""The names of the strings spell no tuning that has a name."""

from __future__ import annotations

from tabtools.doubts import UnnamedTuning
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Key: A minor

e|-----------------|
B|-------------5---|
A|-----5---7-------|
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


def _words(doubt: UnnamedTuning) -> str:
    return (
        f"the names of the strings spell {doubt.strings} from the last string up, which is no tuning with a "
        "name: check them, or write the tuning in the header"
    )


RULE = Rule(
    name="unnamed-tuning",
    group="layout",
    severity=Severity.INFO,
    what="The names of the strings spell no tuning that has a name.",
    why=(
        "It may be a tuning of its own or a slip in one name. Write the tuning in the header, and nobody "
        "needs to guess."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
