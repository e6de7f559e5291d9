"""The rows of a system to bars, and the notes of each bar to columns of notes that sound together."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence

from tabtools.doubts import (
    BlankOnString,
    Doubt,
    MisalignedNotes,
    SplitNumber,
    StrumOrRun,
    UnevenLines,
    UnknownSymbol,
    XInChord,
)
from tabtools.record import NamedTuple
from tabtools.source import Span
from tabtools.text.page.layout import System
from tabtools.text.page.marks import Marks, marks_for
from tabtools.text.page.string_row import Row
from tabtools.text.patterns import lazy
from tabtools.text.rows.alignment import Column, Columns, Edges, columns_of
from tabtools.text.rows.barlines import stroke, vote
from tabtools.text.rows.digits import split_digits
from tabtools.text.rows.lexer import read_row_tokens
from tabtools.text.rows.tokens import BarLine, RowNote, RowTokens

__all__ = ["Column", "RawBar", "read_bars"]

_LONGEST_LIST = 30
_LONE_BLANK = lazy(r"(?<=[^ |])[ ](?=[^ |])")
# Signs in an empty bar for the bar before it once more.
_SAME = frozenset(("%", ".//.", "./.", ":/:", "·/·"))


class RawBar(NamedTuple):
    """One bar of a system: columns ``start`` to ``end`` of the page between two bar lines; ``bounds`` are
    those columns in each row, where rows may differ.

    ``same`` says that a sign in the empty bar stands for the music of the bar before it. ``closed`` is false
    where no bar line ends it, ``opened`` where none begins it.
    """

    start: int
    end: int
    columns: tuple[Column, ...]
    bounds: tuple[tuple[int, int], ...]
    opens: bool = False
    closes: bool = False
    opened: bool = True
    closed: bool = True
    same: bool = False

    @property
    def between(self) -> tuple[int, int]:
        """The columns that are free on every row: those between bar lines drawn with all their dots."""
        stops = [end for _, end in self.bounds] if self.closed else [self.end]
        return max(start for start, _ in self.bounds), min(stops)


def read_bars(system: System, marks: Marks | None = None) -> tuple[list[RawBar], list[Doubt]]:
    """The bars of a system in order, and what is doubtful about its rows."""
    known = marks or marks_for()
    tokens = _row_tokens(system, known)
    doubts = [
        doubt for row, found in zip(system.rows, tokens, strict=True) for doubt in _row_doubts(row, found)
    ]
    ends = [row.end for row in system.rows]
    usual = ends[0] if len(set(ends)) == 1 else _most_common(ends)
    doubts += _uneven(system, usual)
    lines, odd = vote(system, tokens, usual)
    bars: list[RawBar] = []
    same: list[Span] = []
    for bar, found in _cut(system, tokens, lines):
        bars.append(bar)
        doubts += found
        if bar.same:
            same += (row.line.span(*bound) for row, bound in zip(system.rows, bar.bounds, strict=True))
    if same:
        doubts = [doubt for doubt in doubts if not _is_sign_for_same(doubt, same)]
    return bars, doubts + odd


def _is_sign_for_same(doubt: Doubt, spans: Sequence[Span]) -> bool:
    """Whether what nobody knew lies in bars that a sign fills with the music of the bar before."""
    return isinstance(doubt, UnknownSymbol) and any(
        span.start <= doubt.span.start < span.end for span in spans
    )


def _row_tokens(system: System, marks: Marks) -> list[RowTokens]:
    """The tokens of all rows. One number over the neck is a slip; several, or digits in threes, tell of a
    writer who leaves no hyphen between frets."""

    def read(*, glued: bool) -> list[RowTokens]:
        return [
            read_row_tokens(row.line.text, row.start, row.end, marks, row=index, glued=glued)
            for index, row in enumerate(system.rows)
        ]

    tokens = read(glued=False)
    far = sum(row.far for row in tokens)
    if far > 1 or (far and any(row.long_numbers for row in tokens)):
        return read(glued=True)
    return tokens


def _row_doubts(row: Row, tokens: RowTokens) -> Iterator[Doubt]:
    text = row.line.text
    for start, end in _touching(tokens.unknown):
        yield UnknownSymbol(row.line.span(start, end), text[start:end])
    if " " in text[row.start : row.end]:
        for blank in _LONE_BLANK.finditer(text, row.start, row.end):
            yield BlankOnString(row.line.span(*blank.span()))
    for start, end in tokens.long_numbers:
        digits = text[start:end]
        chosen = " ".join(digits[at : at + width] for at, width in split_digits(digits[:_LONGEST_LIST]))
        yield SplitNumber(row.line.span(start, end), digits[:_LONGEST_LIST], chosen)
    for kind, start, end, reading in tokens.open:
        yield kind(row.line.span(start, end), text[start:end], reading)


def _touching(stretches: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """Stretches in order, those that touch as one."""
    found: list[tuple[int, int]] = []
    for start, end in sorted(stretches):
        if found and found[-1][1] == start:
            found[-1] = (found[-1][0], end)
        else:
            found.append((start, end))
    return found


def _uneven(system: System, usual: int) -> Iterator[Doubt]:
    """Rows whose last column is not the usual one."""
    for row in system.rows:
        if row.end != usual:
            start, end = (usual, row.end) if row.end > usual else (row.end - 1, row.end)
            span = row.line.span(max(start, row.start), end)
            yield UnevenLines(span, row.end - row.start, usual - row.start, row.label)


def _most_common(values: list[int]) -> int:
    """The commonest value; of equals the largest, since text gets lost more easily than added."""
    counts = Counter(values)
    return max(counts, key=lambda value: (counts[value], value))


class _Gap(NamedTuple):
    """What lies between two bar lines: its columns in each row, those of the page, how far every row's bar
    lines stand off, and whether a repeat begins or ends there."""

    bounds: tuple[tuple[int, int], ...]
    start: int
    end: int
    edges: Sequence[Edges] | None
    opens: bool
    closes: bool


def _cut(
    system: System, tokens: Sequence[RowTokens], lines: Sequence[list[BarLine]]
) -> Iterator[tuple[RawBar, list[Doubt]]]:
    """Cut every row at its bar lines and put the pieces of one bar together."""
    count = len(lines[0])
    alike = all(row == lines[0] for row in lines[1:])
    done = [0] * len(tokens)
    first = int(alike and count > 0 and all(row.start >= lines[0][0].start for row in system.rows))
    last = alike and count > 0 and all(row.end <= lines[0][-1].end for row in system.rows)
    for index in range(first, count + 1 - last):
        gap = _straight(lines[0], index, len(lines)) if alike and 0 < index < count else None
        gap = gap or _gap(system, lines, index)
        notes: list[RowNote] = []
        for number, row in enumerate(tokens):
            own, at, end = row.notes, done[number], gap.bounds[number][1]
            while at < len(own) and own[at].column < end:
                notes.append(own[at])
                at += 1
            done[number] = at
        outside = index in (0, count) and not _sounds(system, gap.bounds)
        if not notes and count and (outside or _blank(system, gap.bounds)):
            continue
        columns = columns_of(notes, gap.edges)
        bar = RawBar(
            gap.start,
            gap.end,
            tuple(columns.all),
            gap.bounds,
            gap.opens,
            gap.closes,
            index > 0,
            index < count,
            not notes and _stands_for_another(system, gap.bounds),
        )
        straight = gap.edges is None
        yield bar, list(_column_doubts(system, columns, straight=straight))


def _straight(lines: Sequence[BarLine], index: int, rows: int) -> _Gap:
    """The gap between two bar lines that are the same on all rows."""
    left, right = lines[index - 1], lines[index]
    bounds = ((left.end, right.start),) * rows
    return _Gap(bounds, left.end, right.start, None, left.opens, right.closes)


def _gap(system: System, lines: Sequence[list[BarLine]], index: int) -> _Gap:
    """The gap before the bar line of that index, whatever the lines are like on each row."""
    left = [row[index - 1] for row in lines] if index else None
    right = [row[index] for row in lines] if index < len(lines[0]) else None
    bounds = tuple(_bounds(system, left, right))
    start, end = _inner(left, right, system, bounds)
    opens = left is not None and any(line.opens for line in left)
    closes = right is not None and any(line.closes for line in right)
    return _Gap(bounds, start, end, _edges(left, right), opens, closes)


def _bounds(
    system: System, left: list[BarLine] | None, right: list[BarLine] | None
) -> Iterator[tuple[int, int]]:
    for number, row in enumerate(system.rows):
        start = left[number].end if left else row.start
        yield start, right[number].start if right else max(row.end, start)


def _edges(left: list[BarLine] | None, right: list[BarLine] | None) -> list[Edges] | None:
    """How far every row's bar lines stand off the usual columns; an open end goes with the other one. None
    where none does."""
    ends = [_offsets(lines) for lines in (left, right) if lines is not None]
    if not any(map(any, ends)):
        return None
    return [Edges(one, other) for one, other in zip(ends[0], ends[-1], strict=True)]


def _offsets(lines: list[BarLine]) -> list[int]:
    places = [stroke(line) for line in lines]
    if len(set(places)) == 1:
        return [0] * len(places)
    usual = Counter(places).most_common(1)[0][0]
    return [place - usual for place in places]


def _inner(
    left: list[BarLine] | None,
    right: list[BarLine] | None,
    system: System,
    bounds: Sequence[tuple[int, int]],
) -> tuple[int, int]:
    """The columns between the bar lines; repeat dots count as bar line when most rows have them."""
    if left is None:
        start = min(row.start for row in system.rows)
    else:
        dots = 2 * sum(line.opens for line in left) > len(left)
        start = _usual([line.end - line.opens for line in left]) + dots
    if right is None:
        end = max(end for _, end in bounds)
    else:
        dots = 2 * sum(line.closes for line in right) > len(right)
        end = _usual([stroke(line) for line in right]) - dots
    return start, end


def _usual(places: list[int]) -> int:
    return places[0] if len(set(places)) == 1 else Counter(places).most_common(1)[0][0]


def _stands_for_another(system: System, bounds: Sequence[tuple[int, int]]) -> bool:
    """Whether all that stands in a bar besides its filler is a sign for the bar before it."""
    drawn = {
        row.line.text[start:end].strip(" -") for row, (start, end) in zip(system.rows, bounds, strict=True)
    } - {""}
    return bool(drawn) and drawn <= _SAME


def _sounds(system: System, bounds: Sequence[tuple[int, int]]) -> bool:
    """Whether what stands outside the outer bar lines is wide enough to be a bar of silence."""
    return any(
        row.line.text[start:end].strip(" ") and end - start > 2
        for row, (start, end) in zip(system.rows, bounds, strict=True)
    )


def _blank(system: System, bounds: Sequence[tuple[int, int]]) -> bool:
    """Whether nothing is drawn in a bar, not even filler: a gap between blocks side by side."""
    return all(
        not row.line.text[start:end].strip(" ") for row, (start, end) in zip(system.rows, bounds, strict=True)
    )


def _column_doubts(system: System, columns: Columns, *, straight: bool) -> Iterator[Doubt]:
    for column in columns.all:
        notes = column.notes
        if len(notes) == 1:
            continue
        if column in columns.near or (straight and _askew(notes)):
            places = Counter(note.column for note in notes)
            odd = min(notes, key=lambda note: (places[note.column], -note.column, note.row))
            frets = "+".join("x" if note.fret is None else str(note.fret) for note in notes)
            yield MisalignedNotes(_span(system, odd), frets)
        if 0 < sum(note.fret is None for note in notes) < len(notes):
            dead = next(note for note in notes if note.fret is None)
            yield XInChord(_span(system, dead))
    for run in columns.slanting:
        yield StrumOrRun(_span(system, run[0]), len(run))


def _askew(notes: Sequence[RowNote]) -> bool:
    """Whether notes struck together share no column in the same sense: that of their first digits, of what
    encloses or leads to them, of their last digits, or of what closes behind them."""
    first = notes[0].column
    if all(placed.column == first for placed in notes):
        return False
    places = (
        {note.start if note.lead is None else note.lead for note in notes},
        {note.column + len(str(note.fret or 0)) for note in notes},
        {note.end for note in notes},
    )
    return all(len(found) > 1 for found in places)


def _span(system: System, note: RowNote) -> Span:
    return system.rows[note.row].line.span(note.start, note.end)
