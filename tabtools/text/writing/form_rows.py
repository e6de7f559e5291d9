"""Rows of words put over the systems of a text tab, everything else as it was."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tabtools.document import Document
from tabtools.score import Event
from tabtools.text.page.layout import System
from tabtools.text.patterns import lazy
from tabtools.text.writing.above import stacked

_LINE_END = lazy(r"\r\n|\r|\n")
_APART = 2  # columns between two words of a row
_HEADING = "["


def with_rows_of_words(document: Document, words: Iterable[tuple[Event, str]]) -> str:
    """The text of a document of text tab with each word over its event; where one row has no room for all
    there are several. A word without a note that stands in the file is left out."""
    page = document.page
    assert page is not None, "only text tab has a page"
    placed = list(_placed(document, words))
    rows: dict[int, list[str]] = {}
    for system in page.systems:
        first, last = system.rows[0].line.number, system.rows[-1].line.number
        here = [(column, word) for line, column, word in placed if first <= line <= last]
        if here:
            rows[_before(system)] = [row.rstrip() for row in reversed(list(stacked(here, _APART)))]
    return "".join(_lines(document.source.text, rows))


def _before(system: System) -> int:
    """The number of the line that the words go before: the first over the rows that is no heading."""
    number = system.rows[0].line.number
    for line in reversed(system.above):
        if line.number != number - 1 or line.text.lstrip().startswith(_HEADING):
            break
        number = line.number
    return number


def _lines(text: str, rows: dict[int, list[str]]) -> Iterator[str]:
    found = _LINE_END.search(text)
    newline = found.group() if found else "\n"
    for number, line in enumerate(text.splitlines(keepends=True), 1):
        for row in rows.get(number, ()):
            yield row + newline
        yield line


def _placed(document: Document, words: Iterable[tuple[Event, str]]) -> Iterator[tuple[int, int, str]]:
    """Line, column from 0, and word of every event that stands in the file."""
    for event, word in words:
        places = [document.source.position(note.span.start) for note in event.notes if note.span]
        if places:
            yield min(line for line, _ in places), min(column for _, column in places) - 1, word
