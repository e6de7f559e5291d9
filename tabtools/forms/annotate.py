"""The names of the forms written into a score, as words over the notes."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from tabtools.forms.naming import name_forms
from tabtools.forms.segments import Segment
from tabtools.forms.words import segment_words
from tabtools.forms.written import parse_label
from tabtools.score import Bar, Event, Part, Score, Words


def with_form_words(score: Score) -> Score:
    """The score with the name of every form where it begins; not where it was just named, nor where the
    author's own words name a form or a position."""
    named: dict[tuple[int, int], list[Words]] = {}
    for segment, text in _named(score):
        first = segment.notes[0]
        words = Words(first.event.onset, text)
        named.setdefault((segment.part, first.bar.number), []).append(words)
    parts = tuple(_with_words(number, part, named) for number, part in enumerate(score.parts))
    return score._replace(parts=parts)


def form_words(
    score: Score, words: Callable[[Segment], str] = segment_words
) -> tuple[tuple[Event, str], ...]:
    """The same words, each with the event that it stands over; ``words`` says how a segment is named."""
    return tuple((segment.notes[0].event, text) for segment, text in _named(score, words))


def _named(score: Score, words: Callable[[Segment], str] = segment_words) -> Iterator[tuple[Segment, str]]:
    last: dict[int, str] = {}
    for segment in name_forms(score):
        text, first = words(segment), segment.notes[0]
        labelled = {each.onset for each in first.bar.words if parse_label(each.text)}
        if text and last.get(segment.part) != text and first.event.onset not in labelled:
            yield segment, text
        last[segment.part] = text


def _with_words(number: int, part: Part, named: dict[tuple[int, int], list[Words]]) -> Part:
    bars = tuple(_bar(bar, named.get((number, bar.number), [])) for bar in part.bars)
    return part._replace(bars=bars)


def _bar(bar: Bar, added: list[Words]) -> Bar:
    if not added:
        return bar
    return bar._replace(words=tuple(sorted((*bar.words, *added), key=lambda words: words.onset)))
