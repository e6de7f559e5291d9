"""The rows of a system to bars, and the notes of each bar to columns of notes that sound together."""

from __future__ import annotations

from collections import Counter
from typing import NamedTuple

from tabtools.source import Doubt
from tabtools.text.layout import Row, System
from tabtools.text.lexer import BarLine, RowNote, RowTokens, read_row_tokens, split_digits


class PlacedNote(NamedTuple):
    """A note of a row, with the index of the row in its system."""

    row: int
    note: RowNote


class Column(NamedTuple):
    """Notes struck together; ``column`` is that of the leftmost digit."""

    column: int
    notes: tuple[PlacedNote, ...]

    @property
    def grace(self) -> bool:
        """Whether every note here is a grace note."""
        return all(any(t.name == "grace" for t in placed.note.techniques) for placed in self.notes)


class RawBar(NamedTuple):
    """One bar of a system: columns ``start`` to ``end`` of the page between two bar lines; ``bounds`` are
    those columns in each row, where rows may differ."""

    start: int
    end: int
    columns: tuple[Column, ...]
    bounds: tuple[tuple[int, int], ...]
    opens: bool = False
    closes: bool = False


def read_bars(system: System) -> tuple[list[RawBar], list[Doubt]]:
    """The bars of a system in order, and what is doubtful about its rows."""
    tokens = [read_row_tokens(row.line.text, row.start, row.end) for row in system.rows]
    doubts = [
        doubt for row, found in zip(system.rows, tokens, strict=True) for doubt in _row_doubts(row, found)
    ]
    usual = _most_common([row.end for row in system.rows])
    doubts += _uneven(system, usual)
    lines, odd = _vote(system, tokens, usual)
    bars = _cut(system, tokens, lines)
    return bars, doubts + odd


def _row_doubts(row: Row, tokens: RowTokens) -> list[Doubt]:
    text = row.line.text
    doubts = [
        Doubt("unknown-symbol", row.line.span(start, end), (text[start:end],))
        for start, end in tokens.unknown
    ]
    for start, end in tokens.long_numbers:
        digits = text[start:end]
        chosen = " ".join(digits[at : at + width] for at, width in split_digits(digits))
        doubts.append(Doubt("split-number", row.line.span(start, end), (digits, chosen)))
    return doubts


def _uneven(system: System, usual: int) -> list[Doubt]:
    """Rows whose last column is not the usual one."""
    doubts = []
    for row in system.rows:
        if row.end != usual:
            start, end = (usual, row.end) if row.end > usual else (row.end - 1, row.end)
            values = (str(row.end - row.start), str(usual - row.start), row.label)
            doubts.append(Doubt("uneven-lines", row.line.span(start, end), values))
    return doubts


def _most_common(values: list[int]) -> int:
    """The commonest value; of equals the largest, since text gets lost more easily than added."""
    counts = Counter(values)
    return max(counts, key=lambda value: (counts[value], value))


def _pipe(line: BarLine) -> int:
    """The column of the first stroke of a bar line."""
    return line.start + line.closes


def _vote(system: System, tokens: list[RowTokens], usual: int) -> tuple[list[list[BarLine]], list[Doubt]]:
    """The bar lines of every row, one list a row, all of one length: where at least half of the rows agree
    on a column there is a bar line, and a row that has it elsewhere or not at all is doubtful."""
    places = [[_pipe(line) for line in row.bars] for row in tokens]
    if all(place == places[0] for place in places):
        return [row.bars for row in tokens], []
    counts = Counter(place for row in places for place in set(row))
    common = {place for place, votes in counts.items() if 2 * votes >= len(tokens)}
    lines, doubts = [], []
    for row, found in zip(system.rows, tokens, strict=True):
        own = {_pipe(line): line for line in found.bars}
        doubts += _odd(row, own, common, usual)
        if len(found.bars) == len(common):
            lines.append(found.bars)
        else:
            lines.append([own.get(at, BarLine(at, at + 1, False, False)) for at in sorted(common)])
    return lines, doubts


def _odd(row: Row, own: dict[int, BarLine], common: set[int], usual: int) -> list[Doubt]:
    """The bar lines of a row that stand elsewhere than those of the others; if none does, those that it
    lacks. The end of a row of unusual length is told as such, not here."""
    end = row.end - 1 if row.end != usual else max(row.end, usual)
    shifted = [line for at, line in own.items() if at not in common]
    lacking = [(at, at + 1) for at in sorted(common - own.keys())]
    places = [(line.start, line.end) for line in shifted] or lacking
    how = "shifted" if shifted else "missing"
    return [
        Doubt("misaligned-barline", row.line.span(start, stop), (how, row.label))
        for start, stop in places
        if start < end
    ]


def _cut(system: System, tokens: list[RowTokens], lines: list[list[BarLine]]) -> list[RawBar]:
    """Cut every row at its bar lines and put the pieces of one bar together."""
    count = len(lines[0])
    bars = []
    for index in range(count + 1):
        left = [row[index - 1] if index else None for row in lines]
        right = [row[index] if index < count else None for row in lines]
        bounds = [
            (a.end if a else row.start, b.start if b else max(row.end, a.end if a else row.end))
            for row, a, b in zip(system.rows, left, right, strict=True)
        ]
        notes = [
            PlacedNote(number, note)
            for number, (row, (start, end)) in enumerate(zip(tokens, bounds, strict=True))
            for note in row.notes
            if start <= note.column < end
        ]
        start, end = _inner(left, right, system, bounds)
        outer = index in (0, count)
        if outer and not notes and (count or index) and not _sounds(system, bounds):
            continue
        opens = any(line.opens for line in left if line)
        closes = any(line.closes for line in right if line)
        bars.append(RawBar(start, end, _columns(notes), tuple(bounds), opens, closes))
    return bars


def _inner(
    left: list[BarLine | None], right: list[BarLine | None], system: System, bounds: list[tuple[int, int]]
) -> tuple[int, int]:
    """The columns between the bar lines; repeat dots count as bar line when most rows have them."""
    first, last = left[0], right[0]
    if first is None:
        start = min(row.start for row in system.rows)
    else:
        dots = 2 * sum(line.opens for line in left if line) > len(left)
        start = max(line.end for line in left if line) if dots else _stroke_end(first)
    if last is None:
        end = max(end for _, end in bounds)
    else:
        dots = 2 * sum(line.closes for line in right if line) > len(right)
        end = min(line.start for line in right if line) if dots else _pipe(last)
    return start, end


def _stroke_end(line: BarLine) -> int:
    return line.end - line.opens


def _sounds(system: System, bounds: list[tuple[int, int]]) -> bool:
    """Whether what stands outside the outer bar lines is wide enough to be a bar of silence."""
    return any(
        row.line.text[start:end].strip(" ") and end - start > 2
        for row, (start, end) in zip(system.rows, bounds, strict=True)
    )


def _columns(notes: list[PlacedNote]) -> tuple[Column, ...]:
    """Join notes whose characters share a column, at most one of each row, measured from the first."""
    ordered = sorted(notes, key=lambda placed: (placed.note.column, placed.row))
    groups: list[list[PlacedNote]] = []
    for placed in ordered:
        first = groups[-1][0].note if groups else None
        if (
            first is not None
            and placed.note.start < first.end
            and placed.note.end > first.start
            and all(other.row != placed.row for other in groups[-1])
        ):
            groups[-1].append(placed)
        else:
            groups.append([placed])
    return tuple(Column(group[0].note.column, tuple(sorted(group, key=lambda p: p.row))) for group in groups)
