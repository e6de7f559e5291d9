"""Pages whose line breaks were lost on the way: written as ``\\n`` in a string of code, or as blanks."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from tabtools.doubts import Doubt, Flattened
from tabtools.text.page.clean import Line
from tabtools.text.page.labels import LABEL
from tabtools.text.patterns import lazy

_BREAK = lazy(r"(?:\\r)?\\n")
_ROW_AFTER = lazy(rf"\\n[ ]*{LABEL}?[ ]?[|-]")
# What a string of code puts before the page and after it.
_BEFORE = lazy(r"\s*(?:[\[{(]|\w+\s*=)[^\\]*?[\"'`](?=[^\"'`]*\\n)|\s*[\"'`]")
_AFTER = lazy(r"[\"'`][,;)\]}\s]*$")
_BLANK = lazy(r"(?<=\|)[ ]+(?=[A-Ha-h][#b]?\|)")
_FEWEST = 3


def unflatten(lines: Iterable[Line]) -> tuple[tuple[Line, ...], tuple[Doubt, ...]]:
    """The lines with each that holds a whole page cut into the lines that it was; the doubts say where.

    Where only blanks part the rows they are cut when all have one length, and other labels than each other.
    """
    done: list[Line] = []
    doubts: list[Doubt] = []
    for line in lines:
        pieces = list(_pieces(line))
        if len(pieces) > 1:
            doubts.append(Flattened(line.span(0, len(line.text)), len(pieces)))
        done += pieces
    return tuple(done), tuple(doubts)


def _pieces(line: Line) -> Iterator[Line]:
    text = line.text
    if "\\n" in text and len(_ROW_AFTER.findall(text)) >= _FEWEST:
        before, after = _BEFORE.match(text), _AFTER.search(text)
        yield from _cut(line, _BREAK, before.end() if before else 0, after.start() if after else len(text))
    elif text.count("|") > 2 * _FEWEST and _rows_in(text):
        yield from _cut(line, _BLANK, 0, len(text.rstrip()))
    else:
        yield line


def _rows_in(text: str) -> bool:
    rows = _BLANK.split(text.strip())
    labels = [row.partition("|")[0] for row in rows]
    lengths = {len(row) - len(label) for row, label in zip(rows, labels, strict=True)}
    return len(rows) >= _FEWEST and len(lengths) == 1 and len(set(labels)) > len(labels) // 2


def _cut(line: Line, pattern: re.Pattern[str], start: int, end: int) -> Iterator[Line]:
    places = line.places()
    for match in (*pattern.finditer(line.text, start, end), None):
        stop = match.start() if match else end
        yield Line(line.number, line.text[start:stop], places[start], tuple(places[start : stop + 1]))
        start = match.end() if match else end
