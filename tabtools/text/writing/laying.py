"""The bars of a page with their new columns: what the formatter draws, before a line is written."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import zip_longest

from tabtools.record import NamedTuple
from tabtools.score import Quarters, TimeSignature
from tabtools.text.page.string_row import Row
from tabtools.text.read import ReadSystem
from tabtools.text.rhythm import Timing
from tabtools.text.rows.columns import RawBar
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


def lay_out(systems: Sequence[ReadSystem], around: Sequence[Sequence[Around]]) -> list[list[LaidBar]]:
    """The bars of each system with new columns; ``around`` are the lines around each.

    Columns are in proportion to time where the rhythm is known; elsewhere they stay, since they are all
    that is known of it.
    """
    texts = [_bar_texts(system, lines) for system, lines in zip(systems, around, strict=True)]
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
            LaidBar(raw, time, timing, text, *_placed(raw, bar, scales))
            for raw, time, timing, text, bar in zip(
                system.bars, system.times, system.timings, bars, sizes, strict=True
            )
        ]
        for system, bars, sizes in zip(systems, texts, measured, strict=True)
    ]


def is_known(timing: Timing) -> bool:
    """Whether a bar's rhythm is written, or sure enough for columns to say it."""
    return timing.inferred is None or timing.inferred.confidence >= SURE


def _placed(raw: RawBar, bar: Measured | None, scales: Scales) -> tuple[Placed, Placed]:
    """The new columns where a bar follows on the same line, and where none does."""
    start, end = raw.between
    width = end - start
    alone = None if bar is None else place_bar(bar, scales, 0)
    if bar is None or alone is None or alone.width > max(_MOST_STRETCH * width, _WIDE):
        stands = Placed(tuple(column.column - start for column in raw.columns), width)
        return stands, stands
    return place_bar(bar, scales, bar.bar.room) if bar.bar.room > alone.width else alone, alone


def _bar_texts(system: ReadSystem, lines: Sequence[Around]) -> list[BarText]:
    bars = system.bars
    rooms = [
        max((room(raw, after, line) for line in lines), default=0)
        for raw, after in zip_longest(bars, bars[1:])
    ]
    return [
        _bar_text(system, raw, timing, time.length, room)
        for raw, timing, time, room in zip(bars, system.timings, system.times, rooms, strict=True)
    ]


def _bar_text(system: ReadSystem, raw: RawBar, timing: Timing, length: Quarters, room: int) -> BarText:
    """The cells of a bar, cut from the characters of its rows."""
    onsets = iter(timing.onsets)
    cells = {
        (cell.row, column): cell
        for number, row in enumerate(system.system.rows)
        for column, cell in _cells(row, number, raw)
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


def _cells(row: Row, number: int, raw: RawBar) -> Iterator[tuple[int, Cell]]:
    """The cells of one row of a bar with the columns of their first digits."""
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
        yield note.column, Cell(number, core, "" if joins else lead, trail, lead if joins else "", inset)
        done = note.stop
