"""Fingers under text tab: rows of digits below each system, everything else as it was."""

from __future__ import annotations

import re
from collections.abc import Iterator

from tabtools.document import Document
from tabtools.score import Score
from tabtools.text.layout import Page, System

LABEL = "f"
# A finger row: the label at the margin, then single digits, nothing else.
_FINGER_ROW = re.compile(rf"{LABEL}(?:\s+[0-4])+\s*")
_LINE_END = re.compile(r"\r\n|\r|\n")


def with_finger_rows(document: Document, score: Score) -> str:
    """The text of a document of text tab with finger rows under every system.

    ``score`` is the document's own with fingers filled in: its notes' spans say where they stand. The
    fingers of a chord stand below each other in the order of its strings, top string first. Finger rows that
    are there already are replaced.
    """
    page = document.page
    assert page is not None, "only text tab has a page"
    lines = document.source.text.splitlines(keepends=True)
    rows = _rows(document, score, page)
    end = _LINE_END.search(document.source.text)
    newline = end.group() if end else "\n"
    result = []
    for number, line in enumerate(lines, 1):
        if _is_old(line, number, page):
            continue
        result.append(line)
        for row in rows.get(number, ()):
            if not result[-1].endswith(("\n", "\r")):
                result[-1] += newline
            result.append(row + newline)
    return "".join(result)


def _is_old(line: str, number: int, page: Page) -> bool:
    """Whether a line is a finger row under a system; blank lines between the two don't count as under."""
    if not _FINGER_ROW.fullmatch(line.rstrip("\r\n")):
        return False
    return any(number in (below.number for below in system.below) for system in page.systems)


def _rows(document: Document, score: Score, page: Page) -> dict[int, list[str]]:
    """The finger rows by the number of the line that they go below."""
    found: dict[int, list[str]] = {}
    fingers = sorted(_fingers(document, score))
    for system in page.systems:
        first, last = system.rows[0].line.number, system.rows[-1].line.number
        columns: dict[int, list[str]] = {}
        for line, column, finger in fingers:
            if first <= line <= last:
                columns.setdefault(column, []).append(finger)
        if columns:
            found[last] = list(_spread(_merged(columns), _margin(system)))
    return found


def _fingers(document: Document, score: Score) -> Iterator[tuple[int, int, str]]:
    """Line, column from 0, and finger of every note that is struck."""
    for part in score.parts:
        for bar in part.bars:
            for event in bar.events:
                for note in event.notes:
                    if note.span and note.finger and not note.tied:
                        line, column = document.source.position(note.span.start)
                        yield line, column - 1, note.finger


def _merged(columns: dict[int, list[str]]) -> dict[int, list[str]]:
    """Fingers of notes a column apart, as the two digits of a fret can put them, stand in one column."""
    merged: dict[int, list[str]] = {}
    for column in sorted(columns):
        at = column - 1 if column - 1 in merged else column
        merged.setdefault(at, []).extend(columns[column])
    return merged


def _margin(system: System) -> str:
    """The label, or as much of it as fits left of the strings."""
    return LABEL if system.rows[-1].start else ""


def _spread(columns: dict[int, list[str]], margin: str) -> Iterator[str]:
    for depth in range(max(map(len, columns.values()))):
        row = margin
        for column, fingers in sorted(columns.items()):
            if depth < len(fingers):
                row = row.ljust(column) + fingers[depth]
        yield row
