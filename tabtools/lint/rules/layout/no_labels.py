"""The string lines carry no names."""

from __future__ import annotations

from tabtools.doubts import NoLabels
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Key: A minor

|-----------------|
|-------------5---|
|-----5---7-------|
|-7---------------|
|-----------------|
|-----------------|
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


def _words(doubt: NoLabels) -> str:
    other = "; four lines could also be a ukulele" if (doubt.rows, doubt.instrument) == (4, "Bass") else ""
    return (
        f"the {doubt.rows} string lines have no names and were read as a {doubt.instrument.lower()}, string "
        f"1 on top{other}: write the name of each string in front of its line"
    )


RULE = Rule(
    name="no-labels",
    group="layout",
    severity=Severity.INFO,
    what="The string lines carry no names.",
    why=(
        "Which string is which, and how it is tuned, is then a guess from the number of lines. Write a "
        "name in front of every line: e B G D A E for a guitar in standard tuning."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
