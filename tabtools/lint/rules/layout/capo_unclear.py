"""With a capo, no note lies below its fret: the frets may be counted from the nut."""

from __future__ import annotations

from tabtools.doubts import CapoUnclear
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

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


def _words(doubt: CapoUnclear) -> str:
    return (
        f"the lowest fret is {doubt.lowest} and the capo is at {doubt.capo}; the frets were counted from the "
        f"capo: if they are counted from the nut, take {doubt.capo} off each"
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
