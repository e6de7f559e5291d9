"""The strings stand in another order than they usually do."""

from __future__ import annotations

from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule
from tabtools.lint.string_repairs import turn_round
from tabtools.source import Doubt

BAD = """\
Tuning: standard
Key: A minor

E|-----------------|
A|-----------------|
D|-7---------------|
G|-----5---7-------|
B|-------------5---|
e|-----------------|
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


def _words(doubt: Doubt) -> str:
    if len(doubt.values) == 1:
        return (
            f"the top line is string {doubt.values[0]}: the system was read with its lowest string on top, "
            "other than tab is usually drawn"
        )
    if len(doubt.values) == 3:
        names, instrument, other = doubt.values
        return (
            f"{names} from the top are the strings of a {instrument.lower()}, and those of a {other.lower()} "
            f"with its lowest on top: they were read as {instrument}; name the instrument above them"
        )
    label, tuning = doubt.values
    return (
        f"the string {label} stands in another place than in any tuning: these are the names of {tuning} in "
        "another order; put them right, or write the tuning in the header"
    )


RULE = Rule(
    name="label-order",
    group="layout",
    severity=Severity.INFO,
    what="The lowest string stands on top, or the strings of a tuning are in another order.",
    why=(
        "Nearly all tab is drawn with the highest string on top, so a reader may take the page upside "
        "down; and two names that were exchanged put every note of two lines on the wrong string. Put the "
        "lines or the names in order, or say the order in words above them."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
    fix="safe",
    repairs=turn_round,
)
