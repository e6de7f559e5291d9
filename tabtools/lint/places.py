"""Where things stand: walking a score, and the spans and names that findings need."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Iterator

from tabtools.lint.finding import Finding
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.score import Bar, Event, Note, Part, Score
from tabtools.source import Span

START = Span(0, 0)


def bars(score: Score) -> Iterator[tuple[Part, Bar]]:
    """Every bar of every part, in order."""
    for part in score.parts:
        for bar in part.bars:
            yield part, bar


def notes(score: Score) -> Iterator[tuple[Part, Bar, Event, Note]]:
    """Every note of every part, in order."""
    for part, bar in bars(score):
        for event in bar.events:
            for note in event.notes:
                yield part, bar, event, note


def span_of(*things: Note | Event | Bar) -> Span:
    """The first span that one of the things has; the start of the file where none has any."""
    for thing in things:
        if isinstance(thing, Bar):
            if thing.spans:
                return thing.spans[0]
        elif thing.span is not None:
            return thing.span
    return START


def element_within(view: View, span: Span, name: str) -> Span:
    """The first element of a name within a place of a MusicXML file; the place itself where there is none,
    and in text tab."""
    if view.document.tree is None:
        return span
    text = view.document.source.text
    start = text.find(f"<{name}>", span.start, span.end)
    end = text.find(f"</{name}>", start, span.end)
    return Span(start, end + len(name) + 3) if 0 <= start < end else span


def doubt_findings(rule: Rule, view: View) -> Iterable[Finding]:
    """A finding for each doubt of the readers that has the rule's name, where the rule has words for it."""
    doubts = [doubt for doubt in view.document.doubts if doubt.kind == rule.name]
    if rule.words is None or not doubts:
        return
    for doubt in doubts:
        bar = bar_at(view, doubt.span.start)
        yield rule.finding(rule.words(doubt), doubt.span, bar=bar, fixes=rule.repairs(view, doubt))


def _stretches(score: Score) -> tuple[tuple[int, int, int], ...]:
    """Start, end and number of every stretch of text that a bar covers, in order."""
    return tuple(sorted((span.start, span.end, bar.number) for _, bar in bars(score) for span in bar.spans))


def bar_at(view: View, offset: int) -> int | None:
    """The number of the bar that an offset of the text lies in; None outside all bars."""
    stretches = view.stage(_stretches)
    at = bisect_right(stretches, offset, key=lambda stretch: stretch[0]) - 1
    return stretches[at][2] if at >= 0 and offset < stretches[at][1] else None


def row_name(label: str) -> str:
    """What a message calls a string row; rows without a label have no name."""
    return f"string {label}" if label else "this string"
