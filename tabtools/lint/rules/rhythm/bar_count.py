"""A part with a bar too many or too few for its phrases."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.places import span_of
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.score import Bar

BAD = """\
Time: 2/4

e|-0---3---|-2---0---|-2---0---|-3-------|-0-------|
B|---------|---------|---------|---------|---------|
G|---------|---------|---------|---------|---------|
D|---------|---------|---------|---------|---------|
A|---------|---------|---------|---------|---------|
E|---------|---------|---------|---------|---------|
"""
_FEWEST = 3
_PHRASE = 2  # bars; tunes and exercises go by twos and fours (common practice, no source)


def _check(view: View) -> Iterable[Finding]:
    for part in view.score.parts:
        bars = part.bars[1:] if part.bars and part.bars[0].pickup else part.bars
        count = len(bars)
        if count < _FEWEST or count % _PHRASE == 0 or any(bar.endings or bar.repeat_times for bar in bars):
            continue
        twice = [bar for before, bar in pairwise(bars) if bar.events and _played(bar) == _played(before)]
        if len(twice) == 1:
            yield RULE.finding(
                f"bar {twice[0].number} is bar {twice[0].number - 1} once more, and the part has {count} "
                "bars: take it out if it stands there twice by mistake",
                span_of(twice[0]),
                bar=twice[0].number,
            )
        elif count % (2 * _PHRASE) == 2 * _PHRASE - 1:
            yield RULE.finding(
                f"the part has {count} bars, one less than phrases of four make: see whether a bar got lost",
                span_of(bars[-1]),
                bar=bars[-1].number,
            )


def _played(bar: Bar) -> Sequence[object]:
    """What is played in a bar, wherever it stands in the file."""
    return [
        (event.onset, event.duration, [(note.string, note.fret, note.pitch) for note in event.notes])
        for event in bar.events
    ]


RULE = Rule(
    name="bar-count",
    group="rhythm",
    severity=Severity.INFO,
    what="A part has a bar too many or too few for its phrases.",
    why=(
        "Most lessons go by two or four bars. One that is odd, with two bars alike side by side, may hold a "
        "bar twice; one that lacks a bar of four may have lost it. Many tunes are odd on purpose."
    ),
    bad=BAD,
    good=BAD.replace("|-2---0---|-2---0---|", "|-2---0---|").replace(
        "|---------|---------|---------|---------|---------|", "|---------|---------|---------|---------|"
    ),
    check=_check,
)
