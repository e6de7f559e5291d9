"""The lines around a system when its columns move: every word stays with its note."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence

from tabtools.text.above import spread
from tabtools.text.annotations import Annotation, Token
from tabtools.text.columns import RawBar

# Lines whose words belong to no column.
_FIXED = ("header", "section", "part", "times")


def moved(annotation: Annotation, text: str, bars: Sequence[RawBar], anchors: dict[int, int]) -> str:
    """An annotation line with its words over the same notes as before; ``text`` is the line as it stands in
    the file, ``anchors`` are the old columns of notes and bar lines with their new ones."""
    if annotation.kind in _FIXED:
        return text
    letters = _letter_anchors(annotation, bars, anchors) if annotation.kind == "letters" else {}
    shift = _Shift(anchors | letters)
    pieces = [(shift(token.start), piece) for token, piece in _pieces(annotation, text, shift)]
    return spread(pieces, _apart(annotation))


def room(raw: RawBar, following: RawBar | None, annotation: Annotation) -> int:
    """The columns that the words of a line over or under a bar take one beside the other, where the bar that
    follows has words there too; the strokes of marks stretch and shrink."""

    def inside(bar: RawBar) -> list[Token]:
        return [token for token in annotation.tokens if bar.start - 1 <= token.start < bar.end]

    if annotation.kind in (*_FIXED, "marks") or following is None or not inside(following):
        return 0
    return sum(token.end - token.start + _apart(annotation) for token in inside(raw)) - 1


def _letter_anchors(
    annotation: Annotation, bars: Sequence[RawBar], anchors: dict[int, int]
) -> dict[int, int]:
    """Duration letters go right over their notes, in bars that have one for each."""
    found: dict[int, int] = {}
    for bar in bars:
        letters = [token.start for token in annotation.tokens if bar.start - 1 <= token.start < bar.end]
        notes = [column.column for column in bar.columns if not column.grace]
        if len(letters) == len(notes):
            found |= {letter: anchors[note] for letter, note in zip(letters, notes, strict=True)}
    return found


class _Shift:
    """Old columns of a system to new ones: exact at the anchors, in proportion between them."""

    def __init__(self, anchors: dict[int, int]) -> None:
        self.old = sorted(anchors)
        self.new = [anchors[column] for column in self.old]

    def __call__(self, column: int) -> int:
        index = bisect_right(self.old, column) - 1
        if index < 0:
            return column
        if index == len(self.old) - 1:
            return self.new[-1] + column - self.old[-1]
        old, new = self.old[index], self.new[index]
        span, new_span = self.old[index + 1] - old, self.new[index + 1] - new
        return new + ((column - old) * new_span * 2 + span) // (2 * span)


def _apart(annotation: Annotation) -> int:
    """Two blanks part remarks, which may hold single ones."""
    return 2 if annotation.kind == "words" else 1


def _pieces(annotation: Annotation, text: str, shift: _Shift) -> Iterator[tuple[Token, str]]:
    """The words of a line, strokes of spans stretched or shrunk to what they cover."""
    for token in annotation.tokens if annotation.kind in ("marks", "words") else _words(text):
        end = token.end
        while end < len(text) and text[end] in "|>":
            end += 1
        piece = text[token.start : end]
        core = piece.rstrip("|>").rstrip("-~")
        stroke = text[token.start + len(core) : token.end]
        if annotation.kind == "marks" and stroke.strip():
            width = max(shift(token.end) - shift(token.start) - len(core), 1)
            piece = core + stroke[0] * width + text[token.end : end]
        yield token, piece


def _words(text: str) -> Iterator[Token]:
    start = 0
    for word in text.split():
        start = text.index(word, start)
        yield Token(word, start, start + len(word))
        start += len(word)
