"""A line of the page together with its own characters in the file, one for each column."""

from __future__ import annotations

from tabtools.record import NamedTuple
from tabtools.source import Source
from tabtools.text.page.clean import Line


class PlainLine(NamedTuple):
    """A clean line whose columns from ``skip`` on stand in the file one by one.

    ``prefix`` is what the file has before that column: a line number, a quote sign, tab characters. Columns
    are those of the clean line.
    """

    line: Line
    prefix: str
    skip: int
    raw: str

    def cut(self, start: int, end: int | None = None) -> str:
        """The file's characters of the columns ``start`` to ``end``, to the end of the line without it."""
        return self.raw[start - self.skip : None if end is None else end - self.skip]


def plain_line(source: Source, line: Line) -> PlainLine | None:
    """The line with its characters in the file; None where they can't be told column by column: behind
    colour codes, tags and entities, or where the end of the line was cut off."""
    start = source.line_starts[line.number - 1]
    end = start + len(source.line(line.number))
    skip = 0
    if line.columns is not None:
        skip = len(line.text)
        while (
            skip
            and line.columns[skip - 1] == line.columns[skip] - 1
            and source.text[line.columns[skip - 1]] != "\t"
        ):
            skip -= 1
    raw = source.text[line.at(skip) : end]
    if len(raw.rstrip()) > len(line.text) - skip:
        return None
    prefix = source.text[start : line.at(skip)]
    if not prefix:
        # Blanks that only stand for the wider labels of other rows.
        return PlainLine(line, "", 0, " " * skip + raw[: len(line.text) - skip])
    return PlainLine(line, prefix, skip, raw[: len(line.text) - skip])
