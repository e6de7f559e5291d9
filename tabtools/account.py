"""The account of a file: who owns each of its characters, so that nothing is passed over in silence.

A reader gives every piece of a file that is not blank to exactly one owner. What it does not understand
belongs to `UNKNOWN`, and every such piece has a finding.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tabtools.record import NamedTuple
from tabtools.source import Span

NOTE = "note"
MARK = "mark"
FACT = "fact"
WORDS = "words"
DECORATION = "decoration"
UNKNOWN = "unknown"
OWNERS = {
    NOTE: "a note of the score, or its length",
    MARK: "something about notes: a technique, a bar line, a repeat",
    FACT: "something about the piece: title, tuning, key, chord, section, the name of a string",
    WORDS: "words for people, kept as they are",
    DECORATION: "what carries no meaning of its own: filler, rules, markup",
    UNKNOWN: "not understood, and reported",
}


class Owned(NamedTuple):
    """A piece of a file and its owner, a key of `OWNERS`; ``kind`` says more closely what it is."""

    span: Span
    owner: str
    kind: str


def unowned(text: str, pieces: Iterable[Owned]) -> Iterator[Span]:
    """The runs of characters that are not blank and have no owner, in order."""
    owned = bytearray(len(text))
    for piece in pieces:
        owned[piece.span.start : piece.span.end] = b"\1" * (piece.span.end - piece.span.start)
    start = None
    for at, (sign, has_owner) in enumerate(zip(text + " ", [*owned, 1], strict=True)):
        free = not has_owner and not sign.isspace()
        if free and start is None:
            start = at
        elif not free and start is not None:
            yield Span(start, at)
            start = None


def owned_twice(pieces: Iterable[Owned]) -> Iterator[tuple[Owned, Owned]]:
    """Pieces that overlap, each with the one before it."""
    reached: Owned | None = None
    for piece in sorted(pieces, key=lambda piece: (piece.span.start, piece.span.end)):
        if piece.span.start == piece.span.end:
            continue
        if reached is not None and piece.span.start < reached.span.end:
            yield reached, piece
        if reached is None or piece.span.end > reached.span.end:
            reached = piece
