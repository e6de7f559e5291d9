"""Finger rows put into a text tab: one under each system, everything else as it was."""

from __future__ import annotations

from collections.abc import Iterator

from tabtools.document import Document
from tabtools.score import Score
from tabtools.text.page.layout import System
from tabtools.text.patterns import lazy
from tabtools.text.words.fingers import REMARK, finger_words
from tabtools.text.writing.above import finger_word, spread

_LINE_END = lazy(r"\r\n|\r|\n")


def with_finger_rows(document: Document, score: Score) -> tuple[str, int]:
    """The text of a document of text tab with a finger row under every system, and how many moments found
    no room in it.

    ``score`` is the document's own with fingers filled in: its notes' spans say where they stand. Finger
    rows that are there already are replaced.
    """
    page = document.page
    assert page is not None, "only text tab has a page"
    rows: dict[int, str] = {}
    crowded = 0
    words = list(_words(document, score))
    for system in page.systems:
        first, last = system.rows[0].line.number, system.rows[-1].line.number
        here = sorted((column, word) for line, column, word in words if first <= line <= last)
        kept = list(_with_room(here))
        crowded += len(here) - len(kept)
        if kept:
            rows[last] = spread([*kept, (kept[-1][0] + len(kept[-1][1]) + 1, REMARK)])
    return "".join(_lines(document, rows, {n for s in page.systems for n in _old(s)})), crowded


def _old(system: System) -> Iterator[int]:
    """The numbers of the finger rows that stand under a system."""
    return (line.number for line in system.below if any(finger_words(line.text)))


def _lines(document: Document, rows: dict[int, str], old: set[int]) -> Iterator[str]:
    text = document.source.text
    found = _LINE_END.search(text)
    newline = found.group() if found else "\n"
    for number, line in enumerate(text.splitlines(keepends=True), 1):
        if number in old:
            continue
        yield line
        if number in rows:
            if not line.endswith(("\n", "\r")):
                yield newline
            yield rows[number] + newline


def _words(document: Document, score: Score) -> Iterator[tuple[int, int, str]]:
    """Line, column from 0, and fingers of every moment that has any."""
    for part in score.parts:
        for bar in part.bars:
            for event in bar.events:
                word = finger_word(event)
                if word:
                    places = [document.source.position(n.span.start) for n in event.notes if n.span]
                    yield min(line for line, _ in places), min(column for _, column in places) - 1, word


def _with_room(words: list[tuple[int, str]]) -> Iterator[tuple[int, str]]:
    """The words that don't run into the one before, a column further on where that helps; the reader finds
    them there as well."""
    end = 0
    for column, word in words:
        at = column if column >= end else column + 1
        if at >= end:
            yield at, word
            end = at + len(word) + 1
