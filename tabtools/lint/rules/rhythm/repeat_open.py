"""A repeat that begins and never ends."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.places import span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.score import Bar, Part

BAD = """\
Time: 2/4

e|:-0---2---|-3---2---|-0-------|
B|:---------|---------|---------|
G|:---------|---------|---------|
D|:---------|---------|---------|
A|:---------|---------|---------|
E|:---------|---------|---------|
"""


def _check(view: View) -> Iterable[Finding]:
    for part in view.score.parts:
        for bar in _open(part):
            yield RULE.finding(
                f"a repeat begins at bar {bar.number} and never ends: put :| at the end of its last bar, or "
                "take the |: away",
                span_of(bar),
                bar=bar.number,
            )


def _open(part: Part) -> Iterator[Bar]:
    """The bars where a repeat begins that no later bar ends, up to the next that begins."""
    begun: Bar | None = None
    for bar in part.bars:
        if bar.repeat_start:
            if begun is not None:
                yield begun
            begun = bar
        if bar.repeat_times:
            begun = None
    if begun is not None:
        yield begun


RULE = Rule(
    name="repeat-open",
    group="rhythm",
    severity=Severity.WARNING,
    what="A repeat begins and never ends.",
    why=(
        "Nobody can tell how far the repeat goes, so some play the whole page twice and others nothing. The "
        "sign for its end is :| on every string, or a backward repeat in MusicXML."
    ),
    bad=BAD,
    good=BAD.replace("-------|\n", "------:|\n"),
    check=_check,
)
