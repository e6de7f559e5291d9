"""A bar holds less than its time signature asks for."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.lengths import amount, number, units
from tabtools.lint.places import span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.score import Bar

BAD = """\
Time: 4/4
Key: G major

   q   q   q   q     q   q   q
e|-----------------|---------------|
B|-----------0-----|---------0-----|
G|-----0-------0---|-----0---------|
D|-5---------------|-5-------------|
A|-----------------|---------------|
E|-----------------|---------------|
"""


def _check(view: View) -> Iterable[Finding]:
    for part in view.score.parts:
        for index, bar in enumerate(part.bars):
            written = bar.events and not any(event.inferred for event in bar.events)
            if written and bar.length < bar.time.length and not _on_purpose(part.bars, index):
                yield _underfull(bar)


def _on_purpose(bars: Sequence[Bar], index: int) -> bool:
    """Whether a short bar is a pick-up, or makes one whole bar with the bar before or after it or with the
    pick-up that it leads back to."""
    bar = bars[index]
    leads_back = index and (index == len(bars) - 1 or bar.repeat_times)
    if bar.pickup or (leads_back and bar.length + bars[0].length == bar.time.length):
        return True
    return _split(bars, index - 1) or _split(bars, index)


def _split(bars: Sequence[Bar], at: int) -> bool:
    """Whether a bar and the next one are one bar that a repeat sign, or a double bar where a line of verse
    ends, stands within. Without the sign only if no bar beside them is short: else the metre may be wrong."""
    if not 0 <= at < len(bars) - 1 or bars[at].length + bars[at + 1].length != bars[at].time.length:
        return False
    beside = (*bars[max(at - 1, 0) : at], *bars[at + 2 : at + 3])
    sign = bars[at].repeat_times or bars[at + 1].repeat_start
    return bool(sign) or not any(bar.length < bar.time.length and not bar.pickup for bar in beside)


def _underfull(bar: Bar) -> Finding:
    lacking = bar.time.length - bar.length
    last = bar.events[-1]
    return RULE.finding(
        f"bar {bar.number} holds {amount(bar.length, bar)}, {bar.time.name} asks for "
        f"{number(units(bar.time.length, bar))}: lengthen a note, or write a rest, by {amount(lacking, bar)}",
        span_of(last, *last.notes, bar),
        bar=bar.number,
    )


RULE = Rule(
    name="bar-underfull",
    group="rhythm",
    severity=Severity.WARNING,
    what="A bar holds fewer beats than its time signature asks for.",
    why=(
        "A bar that is too short can't be counted: everything after it comes early. It is checked only where "
        "the file itself gives the lengths of the notes. A pick-up, and the bar that it is taken from, are "
        "short on purpose. Lengthen a note, write the rest that is missing, or correct the time signature."
    ),
    bad=BAD,
    good=BAD.replace("q     q   q   q", "q     q   q   h"),
    check=_check,
)
