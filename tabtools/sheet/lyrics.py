"""The words sung to a lesson's notes: where on a text page they stand tells to which note each belongs."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator

from tabtools.document import Document
from tabtools.record import NamedTuple
from tabtools.score import Bar, Part, Quarters, Score
from tabtools.text.page.kinds import ReadLine
from tabtools.text.page.layout import System

_SYLLABLE = re.compile(r"[^\s-]+-*")
_EARLY = 1  # columns that a word may begin before its note

# For each part the words by bar, counted from 0: verse from 0, onset, and the word.
Lyrics = tuple[dict[int, tuple[tuple[int, Quarters, str], ...]], ...]


class _Struck(NamedTuple):
    """Notes struck together, by the column at which they stand."""

    column: int
    bar: int
    onset: Quarters


def lyrics_of(document: Document, score: Score) -> Lyrics:
    """The words under the strings of a text page, each at the note under which it begins."""
    sung: list[dict[int, tuple[tuple[int, Quarters, str], ...]]] = [{} for _ in score.parts]
    systems = document.page.systems if document.page else ()
    for system in systems:
        verses = [line for line in (*system.above, *system.below) if line.kind == "lyrics"]
        if not verses:
            continue
        for part, words in zip(score.parts, sung, strict=True):
            struck = sorted(_struck(part, system))
            for verse, line in enumerate(verses if struck else ()):
                for place, text in _words(line, struck):
                    words[place.bar] = (*words.get(place.bar, ()), (verse, place.onset, text))
    return tuple(sung)


def _words(line: ReadLine, struck: list[_Struck]) -> Iterator[tuple[_Struck, str]]:
    """The syllables of a line, those of one note together."""
    columns = [place.column for place in struck]
    at_note: dict[_Struck, str] = {}
    for syllable in _SYLLABLE.finditer(line.text):
        place = struck[max(bisect_right(columns, syllable.start() + _EARLY) - 1, 0)]
        before = at_note.get(place, "")
        at_note[place] = f"{before}{'' if before.endswith('-') or not before else ' '}{syllable[0]}"
    yield from at_note.items()


def _struck(part: Part, system: System) -> Iterator[_Struck]:
    """Where the notes of a part stand in a system."""
    lines = [row.line for row in system.rows]
    first, end = lines[0].offset, lines[-1].at(len(lines[-1].text))
    for index, bar in enumerate(part.bars):
        if bar.spans and first <= bar.spans[0].start <= end:
            yield from (place for line in lines for place in _of_line(bar, index, line.places()))


def _of_line(bar: Bar, index: int, places: tuple[int, ...]) -> Iterator[_Struck]:
    columns = {offset: column for column, offset in enumerate(places)}
    for event in bar.events:
        for note in event.notes:
            if note.span is not None and note.span.start in columns:
                yield _Struck(columns[note.span.start], index, event.onset)
