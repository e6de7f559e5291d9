"""The columns of a bar do not say its rhythm."""

from __future__ import annotations

from tabtools.doubts import RhythmUnclear
from tabtools.lint.finding import Severity
from tabtools.lint.rule import Rule

BAD = """\
Time: 4/4
Key: G major

e|-----------------|-------------------|
B|-----------------|-----------------3-|
G|-----2-4-2-------|-----2-4-----2-4---|
D|-2-5-------5-2-5-|-2-5-----2-5-------|
A|-----------------|-------------------|
E|-----------------|-------------------|
"""
GOOD = """\
Time: 4/4
Key: G major

e|-----------------|-----------------|
B|-----------------|-------------3---|
G|-----2-4-2-------|-----2-4---------|
D|-2-5-------5-2-5-|-2-5-----2-------|
A|-----------------|-----------------|
E|-----------------|-----------------|
"""
_SETTLE = (
    "write counts or duration letters over it, or, where it holds for all, say it once above the tab: "
    "'Rhythm: even eighths' or 'Rhythm: q e e | h q'"
)


def _words(doubt: RhythmUnclear) -> str:
    if not doubt.more:
        return _first(doubt)
    others = (
        "one more bar of this system is" if doubt.more == 1 else f"{doubt.more} more bars of this system are"
    )
    return f"{_first(doubt)}; {others} no clearer"


def _first(doubt: RhythmUnclear) -> str:
    if doubt.percent is None:
        return (
            "the spacing of this bar does not say its rhythm: it was read as even notes by default, "
            f"{doubt.reading}; {_SETTLE}"
        )
    second = f", but it could be {doubt.other}" if doubt.other else ""
    return (
        f"the rhythm of this bar is unclear: read as {doubt.reading} ({doubt.percent}% sure){second}; "
        f"{_SETTLE}"
    )


RULE = Rule(
    name="rhythm-unclear",
    group="rhythm",
    severity=Severity.INFO,
    what="The columns of a bar do not say its rhythm for certain.",
    why=(
        "Where no lengths are written, the rhythm is worked out from the spacing between two bar lines. "
        "Spacing that fits two rhythms, or none, makes standard notation a guess, and a reader who does not "
        "know the tune guesses too. A count row or duration letters over the bar settle it."
    ),
    bad=BAD,
    good=GOOD,
    words=_words,
)
