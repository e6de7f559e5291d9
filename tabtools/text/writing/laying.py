"""The bars of a page with their new columns: what the formatter draws, before a line is written."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from itertools import zip_longest

from tabtools.record import NamedTuple
from tabtools.score import Quarters, TimeSignature
from tabtools.text.page.string_row import Row
from tabtools.text.patterns import lazy
from tabtools.text.read import ReadSystem
from tabtools.text.rhythm import Timing
from tabtools.text.rows.columns import RawBar
from tabtools.text.rows.tokens import RowNote
from tabtools.text.writing.moving import Around, room
from tabtools.text.writing.spacing import (
    BarText,
    Cell,
    Measured,
    Placed,
    Scales,
    Slot,
    measure,
    place_bar,
    shared_scales,
)

_SLIDES = ("/", "\\")
# A whole number, and no part of a fraction.
_NUMBER = lazy(r"(?<![/\d])\d+(?![/\d])")
_BLANK = str.maketrans("", "", "- ")
# Below this a rhythm that columns suggest is a guess, and other columns would make it look like more.
SURE = 0.8
# A bar keeps its columns where proportion would make it this much wider, and wider than a whole bar of
# sixteenths.
_MOST_STRETCH = 1.5
_WIDE = 33


class LaidBar(NamedTuple):
    """One bar before and after: where it stands on the page, its metre and timing, its cells and its new
    columns; ``alone`` are those where no bar follows on the line, so that no words can collide."""

    raw: RawBar
    time: TimeSignature
    timing: Timing
    text: BarText
    placed: Placed
    alone: Placed


class Recast(NamedTuple):
    """Another text for the notes and words of a page, by the offset in the file at which each begins.

    ``cells`` have the row that a note goes to, and other numbers for some of those at it: its fret, the
    target of its bend. ``words`` are those over and under the systems, ``lines`` whole lines by number.
    ``labels`` are those of other strings than the page has, top row first; without ``fingers`` rows of
    fingers are left out. ``stretch`` makes bars whose columns stay so many times as wide, for wider numbers.
    """

    cells: Mapping[int, tuple[int, Mapping[str, str]]] = {}
    words: Mapping[int, str] = {}
    lines: Mapping[int, str] = {}
    labels: tuple[str, ...] = ()
    fingers: bool = True
    stretch: int = 1


AS_IT_IS = Recast()


def lay_out(
    systems: Sequence[ReadSystem], around: Sequence[Sequence[Around]], recast: Recast = AS_IT_IS
) -> list[list[LaidBar]]:
    """The bars of each system with new columns; ``around`` are the lines around each.

    Columns are in proportion to time where the rhythm is known; elsewhere they stay, since they are all
    that is known of it.
    """
    texts = [_bar_texts(system, lines, recast) for system, lines in zip(systems, around, strict=True)]
    measured = [
        [
            measure(text) if is_known(timing) else None
            for timing, text in zip(system.timings, bars, strict=True)
        ]
        for system, bars in zip(systems, texts, strict=True)
    ]
    scales = shared_scales([bar for bars in measured for bar in bars if bar is not None])
    return [
        [
            LaidBar(raw, time, timing, text, *_placed(raw, bar, scales, recast))
            for raw, time, timing, text, bar in zip(
                system.bars, system.times, system.timings, bars, sizes, strict=True
            )
        ]
        for system, bars, sizes in zip(systems, texts, measured, strict=True)
    ]


def is_known(timing: Timing) -> bool:
    """Whether a bar's rhythm is written, or sure enough for columns to say it."""
    return timing.inferred is None or timing.inferred.confidence >= SURE


def _placed(raw: RawBar, bar: Measured | None, scales: Scales, recast: Recast) -> tuple[Placed, Placed]:
    """The new columns where a bar follows on the same line, and where none does."""
    start, end = raw.between
    width = end - start
    alone = None if bar is None else place_bar(bar, scales, 0)
    wide = alone is not None and alone.width > max(_MOST_STRETCH * width, _WIDE) and not recast.cells
    if bar is None or alone is None or wide:
        return (_standing(raw, recast.stretch),) * 2
    return place_bar(bar, scales, bar.bar.room) if bar.bar.room > alone.width else alone, alone


def _standing(raw: RawBar, stretch: int) -> Placed:
    """The columns of a bar as they are, or so many times as far apart."""
    start, end = raw.between
    lead = raw.columns[0].column - start if raw.columns else 0
    columns = tuple(lead + (column.column - start - lead) * stretch for column in raw.columns)
    return Placed(columns, lead + (end - start - lead) * stretch)


def _bar_texts(system: ReadSystem, lines: Sequence[Around], recast: Recast) -> list[BarText]:
    bars = system.bars
    rooms = [
        max((room(raw, after, line) for line in lines), default=0)
        for raw, after in zip_longest(bars, bars[1:])
    ]
    return [
        _bar_text(system, raw, timing, time.length, room, recast)
        for raw, timing, time, room in zip(bars, system.timings, system.times, rooms, strict=True)
    ]


def _bar_text(
    system: ReadSystem, raw: RawBar, timing: Timing, length: Quarters, room: int, recast: Recast
) -> BarText:
    """The cells of a bar, cut from the characters of its rows."""
    onsets = iter(timing.onsets)
    cells = {
        (number, note.column): _recast(cell, row.line.span(note.start, note.end).start, recast)
        for number, row in enumerate(system.system.rows)
        for note, cell in _cells(row, number, raw)
    }
    slots = tuple(
        Slot(
            None if column.grace else next(onsets),
            tuple(cells[placed.row, placed.column] for placed in column.notes),
        )
        for column in raw.columns
    )
    total = timing.onsets[-1] + timing.durations[-1] if timing.onsets else length
    return BarText(slots, total if timing.pickup else max(total, length), room)


def _recast(cell: Cell, offset: int, recast: Recast) -> Cell:
    """The cell of the note at an offset, with its new row and numbers."""
    if offset not in recast.cells:
        return cell
    row, numbers = recast.cells[offset]

    def renamed(text: str) -> str:
        return _NUMBER.sub(lambda match: numbers.get(match.group(), match.group()), text)

    return cell._replace(row=row, core=renamed(cell.core), trail=renamed(cell.trail))


def _cells(row: Row, number: int, raw: RawBar) -> Iterator[tuple[RowNote, Cell]]:
    """The notes of one row of a bar with their cells."""
    text = row.line.text[: row.end]
    notes = [placed for column in raw.columns for placed in column.notes if placed.row == number]
    done, end = raw.bounds[number]
    for index, note in enumerate(notes):
        lead = text[done : note.start].translate(_BLANK)
        joins = lead in _SLIDES and any(technique.name == "slide" for technique in note.techniques)
        last = index == len(notes) - 1
        trail = text[note.end : note.stop] + (text[note.stop : end].translate(_BLANK) if last else "")
        inset = note.column - note.start
        core = text[note.start : note.end]
        yield note, Cell(number, core, "" if joins else lead, trail, lead if joins else "", inset)
        done = note.stop
