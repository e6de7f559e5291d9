"""A MusicXML part with tab does not say how its strings are tuned."""

from __future__ import annotations

from tabtools.doubts import TuningMissing
from tabtools.lint.elements import same_place
from tabtools.lint.example_line import LINE, TUNING
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

_LINES = "\n      <staff-details><staff-lines>4</staff-lines></staff-details>"


def _words(doubt: TuningMissing) -> str:
    return (
        f"the part has tab but no tuning, and was read as {doubt.instrument} in standard tuning: add "
        "staff-details with a staff-tuning for every string"
    )


RULE = Rule(
    name="tuning-missing",
    group="MusicXML",
    severity=Severity.WARNING,
    what="A MusicXML part with tab does not say how its strings are tuned.",
    why=(
        "String and fret are a pitch only with a tuning, and programs guess differently where there is "
        "none. "
        "Set the tuning in the program that wrote the file, or add the staff-tuning elements by hand."
    ),
    bad=LINE.replace(TUNING, _LINES),
    good=LINE,
    fix="unsafe",
    words=_words,
    repairs=same_place,
)
