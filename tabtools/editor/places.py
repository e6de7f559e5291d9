"""Places of a text as the protocol counts them: lines from 0, and code units from the start of a line.

The unit is what client and server have agreed on: a byte of UTF-8, half a surrogate pair of UTF-16, or a
character (LSP 3.17, PositionEncodingKind).
"""

from __future__ import annotations

from lsprotocol.types import Position, PositionEncodingKind, Range

from tabtools.source import Source, Span


class Places:
    """The places of one text under one encoding."""

    def __init__(self, source: Source, encoding: PositionEncodingKind | str) -> None:
        self._source = source
        self._encoding = str(getattr(encoding, "value", encoding))

    def position(self, offset: int) -> Position:
        """Where a character of the text stands; offsets beyond the end stand at the end."""
        offset = max(0, min(offset, len(self._source.text)))
        line, column = self._source.position(offset)
        text = self._source.line(line)
        return Position(line - 1, self._units(text[: min(column - 1, len(text))]))

    def range(self, span: Span) -> Range:
        """Where some characters stand; at least one, so that an editor has something to underline."""
        end = max(span.end, span.start + 1)
        return Range(self.position(span.start), self.position(end))

    def exact(self, span: Span) -> Range:
        """Where an edit goes: an empty one stays empty."""
        return Range(self._at(span.start), self._at(span.end))

    def offset(self, position: Position) -> int:
        """The character at a position; one beyond the end of its line is the line's end."""
        starts = self._source.line_starts
        if position.line >= len(starts):
            return len(self._source.text)
        text = self._source.line(position.line + 1)
        return starts[position.line] + self._characters(text, position.character)

    def _at(self, offset: int) -> Position:
        """As `position`, also between the two characters of a line end: there the next line begins."""
        line, column = self._source.position(offset)
        text = self._source.line(line)
        if column - 1 > len(text):
            return Position(line, 0)
        return Position(line - 1, self._units(text[: column - 1]))

    def _units(self, text: str) -> int:
        if self._encoding == "utf-32" or text.isascii():
            return len(text)
        if self._encoding == "utf-8":
            return len(text.encode("utf-8", "surrogatepass"))
        return len(text) + sum(character > "\uffff" for character in text)

    def _characters(self, text: str, units: int) -> int:
        """How many characters so many units are; a unit within a character counts as its start."""
        if self._encoding == "utf-32" or text.isascii():
            return min(units, len(text))
        taken = 0
        for number, character in enumerate(text):
            taken += self._units(character)
            if taken > units:
                return number
        return len(text)
