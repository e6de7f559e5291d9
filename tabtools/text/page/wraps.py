"""Rows that a mailer broke at its margin, put together again."""

from __future__ import annotations

from collections.abc import Sequence

from tabtools.doubts import Doubt, WrappedLines
from tabtools.text.page.clean import Line
from tabtools.text.page.labels import GAP, LABEL
from tabtools.text.patterns import lazy

_HEAD = lazy(rf"[ ]*+{LABEL}{GAP}[-|:].*[-0-9|hp~/\\]")
_TAIL = lazy(r"[-|0-9hHpPbrsStTvxX/\\~^<>()*:]+")
_FEWEST = 3
_LONGEST = 12


def join_wraps(lines: Sequence[Line]) -> tuple[tuple[Line, ...], tuple[Doubt, ...]]:
    """The lines with every row's tail put back behind it, where the tails of a run stand in turn with the
    rows and have one length; the doubts say where."""
    done: list[Line] = []
    doubts: list[Doubt] = []
    texts = [line.text.strip() for line in lines]
    index = 0
    while index < len(lines):
        pairs = _pairs(lines, texts, index)
        if pairs:
            done += [_joined(lines[at], lines[at + 1]) for at in range(index, index + 2 * pairs, 2)]
            first = lines[index]
            doubts.append(WrappedLines(first.span(0, len(first.text)), pairs))
        index += max(2 * pairs, 1)
        if not pairs:
            done.append(lines[index - 1])
    return tuple(done), tuple(doubts)


def _pairs(lines: Sequence[Line], texts: Sequence[str], first: int) -> int:
    """How many rows and tails stand in turn from a line on; 0 where they are no wrapped system. ``texts`` are
    those of the lines without the blanks around them."""
    tails: list[str] = []
    heads: list[str] = []
    at = first
    while at + 1 < len(lines) and len(tails) < _LONGEST and len(texts[at + 1]) < len(lines[at].text):
        head, tail = lines[at].text.rstrip(), texts[at + 1]
        if len(tail) >= len(head) or not _TAIL.fullmatch(tail) or _HEAD.fullmatch(head) is None:
            break
        heads.append(head)
        tails.append(tail)
        at += 2
    alike = len(set(map(len, tails))) == 1 and len(set(map(len, heads))) == 1
    return len(tails) if len(tails) >= _FEWEST and alike else 0


def _joined(head: Line, tail: Line) -> Line:
    kept = head.text.rstrip()
    start = len(tail.text) - len(tail.text.lstrip())
    rest = tail.text.strip()
    places = (*head.places()[: len(kept)], *tail.places()[start : start + len(rest) + 1])
    return Line(head.number, kept + rest, head.offset, places)
