"""Which systems of a page can be drawn anew, and what each then consists of."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tabtools.record import NamedTuple
from tabtools.source import Source
from tabtools.text.page.clean import Line
from tabtools.text.page.kinds import ReadLine
from tabtools.text.page.string_row import Row
from tabtools.text.read import ReadSystem
from tabtools.text.rows.columns import RawBar
from tabtools.text.writing.laying import LaidBar, Recast, lay_out
from tabtools.text.writing.moving import FIXED, Around
from tabtools.text.writing.pieces import Drawing
from tabtools.text.writing.plain import PlainLine, plain_line
from tabtools.text.writing.spacing import FILLER
from tabtools.text.writing.strokes import BarLines, bar_lines
from tabtools.text.writing.tunings import row_labels


class _Frame(NamedTuple):
    """What of a system stays when its bars move."""

    rows: tuple[PlainLine, ...]
    around: tuple[Around, ...]
    lines: BarLines


def drawings(
    source: Source, systems: Sequence[ReadSystem], recast: Recast
) -> tuple[dict[int, Drawing], dict[int, str]]:
    """The systems that can be drawn anew by their place in ``systems``, and why each of the others can't.

    ``recast`` has new texts for lines and words around them, and for their notes.
    """
    found = [_frame(source, system, recast) for system in systems]
    left = {number: why for number, why in enumerate(found) if isinstance(why, str)}
    frames = {number: frame for number, frame in enumerate(found) if isinstance(frame, _Frame)}
    around = [frame.around for frame in frames.values()]
    laid = lay_out([systems[number] for number in frames], around, recast)
    labels = list(_labels(systems))
    drawn: dict[int, Drawing] = {}
    for (number, frame), bars in zip(frames.items(), laid, strict=True):
        before = frames.get(number - 1)
        goes_on = number > 0 and (before is None or not any(line[-1] for line in before.lines))
        drawn[number] = _drawing(systems[number], frame, bars, labels[number], goes_on=goes_on)
    return drawn, left


def _frame(source: Source, system: ReadSystem, recast: Recast) -> _Frame | str:
    """What a system is drawn on, or why it must stay as it is."""
    if not system.bars:
        return "it has no bars"
    kinds = {doubt.kind for doubt in system.doubts if doubt.layout == "hindered"}
    if not _ends_alike(system.system.rows):
        kinds.add("uneven-lines")
    if kinds:
        return f"not everything in it is certain: see what check says under {', '.join(sorted(kinds))}"
    rows = _plain(source, [row.line for row in system.system.rows])
    first, last = system.system.first, system.system.last
    around = tuple(_around(source, system, recast))
    if rows is None or len(around) + len(rows) < last + 1 - first:
        return "tab characters, colour codes or markup stand between its columns"
    if any(row.start < line.skip for row, line in zip(system.system.rows, rows, strict=True)):
        return "tab characters stand between its labels and its bars"
    if [row.line.number - rows[0].line.number for row in rows] != list(range(len(rows))):
        return "its rows do not stand right below each other"
    if any(_torn(system.system.rows, bar) for bar in system.bars):
        return "a bracket is not closed around its fret"
    lines = bar_lines(system.system.rows, system.bars)
    around = tuple(line for line in around if recast.fingers or line.note.kind != "fingers")
    return _Frame(rows, around, lines) if lines else "its bar lines are not drawn alike on every string"


def _torn(rows: Sequence[Row], bar: RawBar) -> bool:
    """Whether filler stands within what should be one fret with its brackets."""
    return any(
        FILLER in rows[placed.row].line.text[placed.start : placed.end]
        for column in bar.columns
        for placed in column.notes
    )


def _ends_alike(rows: Sequence[Row]) -> bool:
    """Whether the rows have one length and the same bar lines, but for some that just stop short."""
    strokes = [[at for at, sign in enumerate(row.line.text[: row.end]) if sign == "|"] for row in rows]
    longest = max(strokes, key=len)
    return all(
        found == longest[: len(found)] and (len(found) == len(longest) or row.end <= longest[len(found)])
        for row, found in zip(rows, strokes, strict=True)
    )


def _plain(source: Source, lines: Sequence[Line]) -> tuple[PlainLine, ...] | None:
    found = [plain_line(source, line) for line in lines]
    plain = tuple(line for line in found if line is not None)
    return plain if len(plain) == len(found) and len({line.skip for line in plain}) == 1 else None


def _around(source: Source, system: ReadSystem, recast: Recast) -> Iterator[Around]:
    """The lines over and under the rows; one that the reader leaves out, a remark to this program, stays as
    it is."""
    rows, above, below = system.system
    first, last = system.system.first, system.system.last
    known = {note.number: note for note in (*above, *below)}
    numbers = [*range(first, rows[0].line.number), *range(rows[-1].line.number + 1, last + 1)]
    for number in numbers:
        line = (
            known[number].line
            if number in known
            else Line(number, source.line(number), source.line_starts[number - 1])
        )
        plain = plain_line(source, line)
        note = known.get(number) or ReadLine("header", line)
        if plain is None or (note.tokens and note.tokens[0].start < plain.skip):
            if note.kind not in FIXED:
                continue
            plain = PlainLine(line, "", 0, source.line(number))
        if number in recast.lines:
            plain = plain._replace(prefix="", raw=recast.lines[number])
        yield Around(note, plain, number > rows[-1].line.number, _said(note, line, recast))


def _said(note: ReadLine, line: Line, recast: Recast) -> dict[int, str]:
    """Other words for those of a line, by column."""
    if not recast.words:
        return {}
    starts = ((token.start, line.span(token.start, token.end).start) for token in note.tokens)
    return {column: recast.words[offset] for column, offset in starts if offset in recast.words}


def _labels(systems: Sequence[ReadSystem]) -> Iterator[tuple[str, ...]]:
    """The labels of every system: its own, for bare rows those of the system before with as many rows, else
    the names of the strings where the page says what they are."""
    before: tuple[str, ...] = ()
    for system in systems:
        own = tuple(row.label for row in system.system.rows)
        if any(own) or len(before) != len(own):
            before = own
        strings = system.strings
        if not any(before) and not strings.instrument.inferred:
            names = row_labels(strings.instrument)
            yield tuple(names[number - 1] for number in strings.numbers)
        else:
            yield before


def _drawing(
    system: ReadSystem, frame: _Frame, bars: Sequence[LaidBar], labels: Sequence[str], *, goes_on: bool
) -> Drawing:
    """``goes_on`` tells that the system before may end within a bar, so that none need begin here."""
    rows = system.system.rows
    if any(row.label in line.prefix.split() for row, line in zip(rows, frame.rows, strict=True) if row.label):
        labels = [""] * len(labels)  # they stand before the tab characters, and stay there
    width = max(map(len, labels))
    heads = [line.line.text[line.skip : row.start] for row, line in zip(rows, frame.rows, strict=True)]
    indent = min(len(head) - len(head.lstrip(" ")) for head in heads)
    lines = frame.lines
    if not goes_on and not any(line[0] for line in lines) and any(line[-1] for line in lines):
        lines = [["|", *line[1:]] for line in lines]
    return Drawing(
        frame.rows,
        " " * indent,
        tuple(label.rjust(width) for label in labels),
        tuple(line.cut(row.end) for row, line in zip(rows, frame.rows, strict=True)),
        lines,
        bars,
        frame.around,
        may_break=not system.attached.passes or system.bars[-1].closes,
    )
