"""With a capo, no note lies below its fret: the frets may be counted from the nut."""

from __future__ import annotations

from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule
from tabtools.source import Doubt

BAD = """\
Tuning: standard
Capo: 5
Key: A minor

e|---------5---5---|
B|---5---5---5---5-|
G|-5---5-----------|
D|-----------------|
A|-----------------|
E|-----------------|
"""
GOOD = """\
Tuning: standard
Capo: 5
Key: A minor

e|---------0---0---|
B|---0---0---0---0-|
G|-0---0-----------|
D|-----------------|
A|-----------------|
E|-----------------|
"""


def _words(doubt: Doubt) -> str:
    capo, lowest = doubt.values
    return (
        f"the lowest fret is {lowest} and the capo is at {capo}; the frets were counted from the capo: if "
        f"they are counted from the nut, take {capo} off each"
    )


RULE = Rule(
    name="capo-unclear",
    group="layout",
    severity=Severity.INFO,
    what="With a capo, no note lies below its fret: the frets may be counted from the nut.",
    why=(
        "Most writers count frets from the capo, and then open strings are 0. Where no fret is lower than "
        "the capo, the writer may have counted from the nut."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
