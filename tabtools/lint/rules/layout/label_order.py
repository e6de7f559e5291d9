"""The strings stand in another order than they usually do."""

from __future__ import annotations

from tabtools.doubts import LowestOnTop, StringsExchanged, TwoInstruments
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule
from tabtools.lint.string_repairs import turn_round

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


def _words(doubt: LowestOnTop | TwoInstruments | StringsExchanged) -> str:
    if isinstance(doubt, LowestOnTop):
        return (
            f"the top line is string {doubt.top}: the system was read with its lowest string on top, "
            "other than tab is usually drawn"
        )
    if isinstance(doubt, TwoInstruments):
        return (
            f"{doubt.names} from the top are the strings of a {doubt.instrument.lower()}, and those of a "
            f"{doubt.other.lower()} with its lowest on top: they were read as {doubt.instrument}; name the "
            "instrument above them"
        )
    return (
        f"the string {doubt.label} stands in another place than in any tuning: these are the names of "
        f"{doubt.tuning} in another order; put them right, or write the tuning in the header"
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
