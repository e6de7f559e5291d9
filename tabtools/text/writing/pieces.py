"""A system to its new lines: labels, rows of one length, and as many pieces as the width asks for."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tabtools.record import NamedTuple
from tabtools.text.writing.balance import balanced
from tabtools.text.writing.counting import can_count, count_row
from tabtools.text.writing.laying import LaidBar
from tabtools.text.writing.moving import Around, Stretch, is_fixed, moved
from tabtools.text.writing.plain import PlainLine
from tabtools.text.writing.spacing import render
from tabtools.text.writing.strokes import BarLines, closing, opening


class Drawing(NamedTuple):
    """A system ready to be drawn: its rows with labels of one width and the bar lines of each, its bars, and
    the lines around it. ``indent`` is what stands before every label, ``remarks`` what stands right of the
    rows. ``may_break`` is false for a system that something beside it speaks of as a whole."""

    rows: tuple[PlainLine, ...]
    indent: str
    labels: tuple[str, ...]
    remarks: tuple[str, ...]
    lines: BarLines
    bars: Sequence[LaidBar]
    around: tuple[Around, ...]
    may_break: bool = True

    @property
    def margin(self) -> int:
        """The column of the first bar line, counted from the prefix."""
        return len(self.indent) + len(self.labels[0])

    @property
    def breaks(self) -> bool:
        """Whether it can be cut: all its lines begin alike, so that new ones can too."""
        return self.may_break and len({row.prefix for row in self.rows}) == 1

    @property
    def counted(self) -> bool:
        """Whether it has a count row."""
        return any(around.note.kind == "counts" for around in self.around)


def draw(drawing: Drawing, width: int | None, *, counts: bool = False) -> list[str]:
    """The lines of a system, in pieces of at most ``width`` columns with a blank line between them; a bar
    that is wider has a piece to itself. None leaves it whole. ``counts`` adds a count row, and puts it in the
    place of one where it covers all bars."""
    if counts and drawing.counted:
        counts = all(map(can_count, drawing.bars))
        if counts:
            kept = tuple(around for around in drawing.around if around.note.kind != "counts")
            drawing = drawing._replace(around=kept)
    pieces = _pieces(drawing, width) if width is not None and drawing.breaks else [range(len(drawing.bars))]
    lines: list[str] = []
    for number, piece in enumerate(pieces):
        if number:
            lines.append(drawing.rows[0].prefix.rstrip())
        lines += _piece(_ending(drawing, piece[-1]), piece[0], piece[-1], counts=counts)
    return lines


def _pieces(drawing: Drawing, width: int) -> list[Sequence[int]]:
    """Which bars stand on a line together."""
    bars = range(len(drawing.bars))
    lines = drawing.lines[0]
    *_, last = drawing.bars
    whole = sum(map(len, lines)) + sum(bar.placed.width for bar in drawing.bars) - last.placed.width
    if drawing.margin + whole + last.alone.width <= width:
        return [bars]
    end = max(len(closing(line)) for line in lines[1:])
    return balanced(
        bars, lambda bar: len(lines[bar]) + drawing.bars[bar].placed.width, width - drawing.margin - end
    )


def _ending(drawing: Drawing, last: int) -> Drawing:
    """The drawing with a line that ends behind a bar."""
    bars = list(drawing.bars)
    bars[last] = bars[last]._replace(placed=bars[last].alone)
    return drawing._replace(bars=bars)


def _piece(drawing: Drawing, first: int, last: int, *, counts: bool) -> Iterator[str]:
    starts = _starts(drawing, first, last)
    skip = drawing.rows[0].skip
    stretch = Stretch([bar.raw for bar in drawing.bars], first, last, _anchors(drawing, first, last, starts))
    yield from _around(drawing, stretch, below=False)
    for number in range(len(drawing.rows)):
        yield _row(drawing, number, first, last)
    row = count_row(drawing.bars[first : last + 1], [start - skip for start in starts]) if counts else ""
    if row:
        yield drawing.rows[0].prefix + row
    yield from _around(drawing, stretch, below=True)


def _around(drawing: Drawing, stretch: Stretch, *, below: bool) -> Iterator[str]:
    """The lines over or under a piece: what belongs to the system as a whole stands over the first and under
    the last piece."""
    whole = stretch.last == len(stretch.bars) - 1 if below else stretch.first == 0
    for around in drawing.around:
        if around.below != below:
            continue
        line = around.line
        if is_fixed(around, stretch.bars):
            if whole:
                yield line.prefix + around.raw
        elif text := moved(around, stretch):
            yield line.prefix + text[line.skip :]


def _row(drawing: Drawing, number: int, first: int, last: int) -> str:
    lines = drawing.lines[number]
    text = drawing.rows[number].prefix + drawing.indent + drawing.labels[number]
    for index in range(first, last + 1):
        text += opening(lines[index]) if index and index == first else lines[index]
        text += render(drawing.bars[index].text, drawing.bars[index].placed, number)
    if last < len(drawing.bars) - 1:
        return text + closing(lines[last + 1])
    return text + lines[-1] + drawing.remarks[number]


def _starts(drawing: Drawing, first: int, last: int) -> list[int]:
    """The clean columns at which the bars of a piece begin."""
    lines = drawing.lines[0]
    at = drawing.rows[0].skip + drawing.margin
    starts = []
    for index in range(first, last + 1):
        at += len(opening(lines[index]) if index and index == first else lines[index])
        starts.append(at)
        at += drawing.bars[index].placed.width
    return starts


def _anchors(drawing: Drawing, first: int, last: int, starts: Sequence[int]) -> dict[int, int]:
    """Old columns of notes and bar lines with their new ones."""
    anchors: dict[int, int] = {}
    for bar, at in zip(drawing.bars[first : last + 1], starts, strict=True):
        start, end = bar.raw.between
        anchors[start] = at
        for column, new in zip(bar.raw.columns, bar.placed.columns, strict=True):
            anchors[column.column] = at + new
        anchors[end] = at + bar.placed.width
    return anchors
