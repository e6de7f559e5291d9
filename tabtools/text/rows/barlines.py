"""The bar lines of a system: where most rows agree there is one, and what the other rows do about it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from tabtools.doubts import Doubt, MisalignedBarline
from tabtools.text.page.layout import System
from tabtools.text.page.string_row import Row
from tabtools.text.rows.tokens import BarLine, RowTokens

_REACH = 2


def stroke(line: BarLine) -> int:
    """The column of the first stroke of a bar line."""
    return line.start + line.closes


def vote(system: System, tokens: Sequence[RowTokens], usual: int) -> tuple[list[list[BarLine]], list[Doubt]]:
    """The bar lines of every row, one list a row, all of one length: where at least half of the rows agree
    on a column there is a bar line, and a row that has it elsewhere or not at all is doubtful.

    Rows with equally many bar lines are taken in order, wherever these stand.
    """
    places = [[stroke(line) for line in row.bars] for row in tokens]
    if all(place == places[0] for place in places):
        return [row.bars for row in tokens], []
    common = _common(places)
    doubts: list[Doubt] = []
    lines = []
    for row, found in zip(system.rows, tokens, strict=True):
        own, shifted, missing = _matched(found.bars, common)
        lines.append(own)
        doubts += _doubts(row, shifted, missing, usual)
    return lines, doubts


def _common(places: list[list[int]]) -> list[int]:
    """The columns of the bar lines: in order where all rows have as many, else by majority."""
    counts = {len(row) for row in places}
    if len(counts) == 1:
        return [_commonest([row[index] for row in places]) for index in range(counts.pop())]
    votes = Counter(place for row in places for place in set(row))
    return sorted(place for place, number in votes.items() if 2 * number >= len(places))


def _commonest(values: list[int]) -> int:
    counts = Counter(values)
    return max(counts, key=lambda value: (counts[value], -value))


def _matched(own: list[BarLine], common: list[int]) -> tuple[list[BarLine], list[BarLine], list[int]]:
    """A row's own lines for the common columns, those that stand elsewhere, and the columns it lacks."""
    if len(own) == len(common):
        return own, [line for line, at in zip(own, common, strict=True) if stroke(line) != at], []
    free = {stroke(line): line for line in own}
    exact = {at: free.pop(at) for at in common if at in free}
    lines, missing = [], []
    moved = []
    for at in common:
        near = [place for place in free if abs(place - at) <= _REACH]
        if at in exact:
            lines.append(exact[at])
        elif near:
            line = free.pop(min(near, key=lambda place: (abs(place - at), place)))
            moved.append(line)
            lines.append(line)
        else:
            missing.append(at)
            lines.append(BarLine(at, at, False, False))
    lines.sort(key=lambda line: line.start)
    return lines, sorted([*moved, *free.values()]), missing


def _doubts(row: Row, shifted: list[BarLine], missing: list[int], usual: int) -> list[Doubt]:
    """A row of unusual length is told as such, once; here it is only where its lines leave the others."""
    if row.end != usual:
        missing = [at for at in missing if at < row.end]
        shifted = [line for line in shifted[:1] if line.end < row.end]
    places = [(False, line.start, line.end) for line in shifted]
    places += [(True, min(at, row.end - 1), min(at + 1, row.end)) for at in missing]
    return [
        MisalignedBarline(row.line.span(start, end), missing, row.label) for missing, start, end in places
    ]
