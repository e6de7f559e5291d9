"""The names of the strings take more columns on some lines than on others."""

from __future__ import annotations

from tabtools.doubts import UnevenLabels
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Tuning: D A D F# A D
Key: D major

D|-0---0---0---0---|
A|-----------------|
F#|-------0-------0-|
D|---0-------0-----|
A|-----------------|
D|-0---------------|
"""
GOOD = """\
Tuning: D A D F# A D
Key: D major

 D|-0---0---0---0---|
 A|-----------------|
F#|-------0-------0-|
 D|---0-------0-----|
 A|-----------------|
 D|-0---------------|
"""


def _words(doubt: UnevenLabels) -> str:
    more, way = ("more", "right") if doubt.wider else ("fewer", "left")
    plural = "" if doubt.columns == 1 else "s"
    return (
        f"the name {doubt.label} takes {doubt.columns} column{plural} {more} than the others, and all of its "
        f"line stands that far to the {way}: put blanks before the shorter names, as format does"
    )


RULE = Rule(
    name="uneven-labels",
    group="layout",
    severity=Severity.INFO,
    what="The names of the strings take more columns on some lines than on others.",
    why=(
        "Notes that are played together should stand below each other. With blanks before the shorter names "
        "all lines begin at one column."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
