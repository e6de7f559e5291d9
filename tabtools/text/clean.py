"""Text to clean lines, each of which still knows where its characters stood in the source.

What is undone here is how a page travelled, not what it says: tab characters, colour codes, line numbers
down the left side, dashes and boxes of another alphabet.
"""

from __future__ import annotations

import re
from itertools import pairwise
from typing import NamedTuple

from tabtools.source import REMARK, Source, Span

_LOOKALIKES = str.maketrans(
    {
        **dict.fromkeys("\u2010\u2011\u2012\u2013\u2014\u2015\u2212\u2500\u2501\uff0d", "-"),
        **dict.fromkeys("\u2502\u2503\u2551\u2223\uff5c\u00a6", "|"),
        **dict.fromkeys("\u00a0\u2007\u2009\u200a\u202f\u3000", " "),
        **{chr(0xFF10 + digit): str(digit) for digit in range(10)},
    }
)
_ODD = re.compile("[\t\x1b\u200b\u200c\u200d\u2060\ufeff]")
_ZERO_WIDTH = re.compile("\x1b\\[[0-9;]*[A-Za-z]|[\u200b\u200c\u200d\u2060\ufeff]")
_NUMBERED = re.compile(r"\s*(\d+)[:|.)]?(?=\s|$)")
_TAB_STOP = 8
_BEFORE_REMARK = " #;/*("


class Line(NamedTuple):
    """One line of the page. Columns count from 0 in the clean ``text``.

    ``offset`` is where column 0 stands in the source; ``columns`` gives the offset of every column (and of
    the end) where characters were dropped or widened.
    """

    number: int
    text: str
    offset: int
    columns: tuple[int, ...] | None = None

    def at(self, column: int) -> int:
        """The source offset of a column; columns past the end stay at the end."""
        column = min(column, len(self.text))
        return self.offset + column if self.columns is None else self.columns[column]

    def span(self, start: int, end: int) -> Span:
        """The source span of columns ``start`` to ``end``, the end not included."""
        return Span(self.at(start), self.at(end))


def clean_lines(source: Source) -> tuple[Line, ...]:
    """The lines of a source: tab characters widened to stops of 8, colour codes and zero-width characters
    dropped, line numbers cut off, look-alike dashes, bars, spaces and digits replaced one for one. Lines that
    hold nothing but a remark to this program are left out."""
    text = source.text.translate(_LOOKALIKES)
    starts = source.line_starts
    ends = [*starts[1:], len(text)]
    lines = [
        _line(number, text[start:end].rstrip("\r\n"), start)
        for number, (start, end) in enumerate(zip(starts, ends, strict=True), 1)
    ]
    lines = _without_numbers(lines)
    if REMARK.search(source.text):
        lines = [line for line in lines if not REMARK.match(line.text.lstrip(_BEFORE_REMARK))]
    return tuple(lines)


def _line(number: int, text: str, offset: int) -> Line:
    if not _ODD.search(text):
        return Line(number, text, offset)
    clean: list[str] = []
    columns: list[int] = []
    position = 0
    while position < len(text):
        if dropped := _ZERO_WIDTH.match(text, position):
            position = dropped.end()
            continue
        wide = _TAB_STOP - len(columns) % _TAB_STOP if text[position] == "\t" else 1
        clean.append(" " * wide if text[position] == "\t" else text[position])
        columns.extend([offset + position] * wide)
        position += 1
    return Line(number, "".join(clean), offset, (*columns, offset + len(text)))


def _without_numbers(lines: list[Line]) -> list[Line]:
    """Cut the numbers off when every line has one and they count up by one, as a listing does."""
    last = max((index for index, line in enumerate(lines) if line.text.strip()), default=-1)
    lines, rest = lines[: last + 1], lines[last + 1 :]
    matches = [_NUMBERED.match(line.text) for line in lines]
    if len(lines) < 4 or not all(matches):
        return lines + rest
    found = [m for m in matches if m]
    numbers = [int(m.group(1)) for m in found]
    if any(b != a + 1 for a, b in pairwise(numbers)):
        return lines + rest
    gaps = [
        len(line.text[m.end() :]) - len(line.text[m.end() :].lstrip())
        for line, m in zip(lines, found, strict=True)
        if line.text[m.end() :].strip()
    ]
    gap = min(gaps, default=0)
    cut = [_cut(line, min(m.end() + gap, len(line.text))) for line, m in zip(lines, found, strict=True)]
    return cut + rest


def _cut(line: Line, width: int) -> Line:
    columns = None if line.columns is None else line.columns[width:]
    return Line(line.number, line.text[width:], line.at(width), columns)
