"""Where the characters of a bar go: columns in proportion to time where the rhythm is known.

The text writer and the formatter share this; the writer makes its cells from a score, the formatter from
the characters that stand in the file.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from tabtools.record import NamedTuple
from tabtools.score import Quarters

# The widest line that is written unless the user asks for another.
WIDTH = 100
LEAD = 1
_LEAST_PER_QUARTER = 4
_MOST_PER_QUARTER = 32
FILLER = "-"


class Cell(NamedTuple):
    """What one row shows at one slot: ``core`` is the fret with its brackets, ``lead`` and ``trail`` the
    marks right before and behind it. ``join`` is a slide sign from the cell before, free to float between
    the two. ``inset`` is how far the first digit stands inside the core."""

    row: int
    core: str
    lead: str = ""
    trail: str = ""
    join: str = ""
    inset: int = 0


class Slot(NamedTuple):
    """Cells struck together. ``onset`` is in quarter notes from the bar's start, None for grace notes."""

    onset: Quarters | None
    cells: tuple[Cell, ...]
    least: int = 0
    """Columns wanted before the next slot, for what stands above this one."""


class BarText(NamedTuple):
    """One bar to lay out; ``length`` is in quarter notes, ``room`` the columns that the words around it
    need in all."""

    slots: tuple[Slot, ...]
    length: Quarters
    room: int = 0


class Placed(NamedTuple):
    """A bar laid out: the column of every slot's first digit from the bar line, and the bar's width."""

    columns: tuple[int, ...]
    width: int


class Measured(NamedTuple):
    """A bar in whole steps: ``step`` of them make a quarter note, ``ticks`` are the onsets of its slots
    (None for grace notes), ``ticks_long`` is its length. ``own`` is the fewest columns a quarter note at
    which nothing in it collides; None where no number of columns does."""

    bar: BarText
    step: int
    ticks: tuple[int | None, ...]
    ticks_long: int
    own: int | None

    @property
    def kind(self) -> int:
        """The odd part of the division: 1 for halves of halves, 3 for thirds."""
        return self.step // (self.step & -self.step)


Scales = dict[int, int]


def place(bars: Sequence[BarText]) -> list[Placed]:
    """Lay out the bars of a part.

    Bars with the same kind of division share one number of columns a quarter note, the one that three
    quarters of them have room with; a fuller bar takes as many as it needs.
    """
    measured = [measure(bar) for bar in bars]
    scales = shared_scales(measured)
    return [place_bar(bar, scales, bar.bar.room) for bar in measured]


def measure(bar: BarText) -> Measured:
    """The bar in steps that every onset and the bar's end fall on."""
    onsets = [slot.onset for slot in bar.slots]
    step = math.lcm(bar.length.denominator, *(onset.denominator for onset in onsets if onset is not None))
    ticks = tuple(None if onset is None else _ticks(onset, step) for onset in onsets)
    measured = Measured(bar, step, ticks, _ticks(bar.length, step), None)
    return measured._replace(own=_own_scale(measured))


def _ticks(time: Quarters, step: int) -> int:
    return time.numerator * (step // time.denominator)


def shared_scales(bars: Sequence[Measured]) -> Scales:
    """The columns a quarter note that the bars of a part share, by the kind of their division."""
    needs: dict[int, list[int]] = {}
    for bar in bars:
        if bar.own is not None:
            needs.setdefault(bar.kind, []).append(bar.own)
    return {odd: sorted(scales)[3 * (len(scales) - 1) // 4] for odd, scales in needs.items()}


def place_bar(bar: Measured, shared: Scales, room: int) -> Placed:
    """Lay out one bar of a part with those scales, in ``room`` columns or more."""
    if bar.own is None or not bar.ticks_long:  # too full, or a pick-up of nothing
        return _sequential(bar.bar, room)
    wanted = max(bar.own, shared[bar.kind], -(-(room - LEAD) * bar.step // bar.ticks_long))
    return _proportional(bar, -(-wanted // bar.step))


def render(bar: BarText, placed: Placed, row: int) -> str:
    """One row of a bar, exactly ``placed.width`` characters."""
    text = [FILLER] * placed.width
    stop = 0
    for slot, column in zip(bar.slots, placed.columns, strict=True):
        for cell in slot.cells:
            if cell.row != row:
                continue
            start = column - cell.inset - len(cell.lead)
            if cell.join:
                text[stop + (start - stop - len(cell.join)) // 2] = cell.join
            body = cell.lead + cell.core + cell.trail
            text[start : start + len(body)] = body
            stop = start + len(body)
    return "".join(text)


def _own_scale(bar: Measured) -> int | None:
    step = bar.step
    least = -(-max(_LEAST_PER_QUARTER, 2 * step) // step)
    most = max(_MOST_PER_QUARTER, 4 * step) // step
    wide = range(least, most + 1)
    return next((step * factor for factor in wide if _fits(bar.bar, _proportional(bar, factor))), None)


def _proportional(bar: Measured, factor: int) -> Placed:
    """Every slot at its time, ``factor`` columns a step; grace notes right before the slot that they lean
    on."""
    slots = bar.bar.slots
    columns: list[int] = [0] * len(slots)
    width = LEAD + bar.ticks_long * factor
    after = width
    for index in range(len(slots) - 1, -1, -1):
        tick = bar.ticks[index]
        if tick is not None:
            after = LEAD + tick * factor
        else:
            after -= _needed(slots[index], slots[index + 1] if index + 1 < len(slots) else None)
        columns[index] = after
    return Placed(tuple(columns), width)


def _sequential(bar: BarText, room: int) -> Placed:
    """Slots one behind the other, each as close as it may stand."""
    columns: list[int] = []
    stops: dict[int, int] = {}
    column = LEAD
    for index, slot in enumerate(bar.slots):
        if index:
            before = bar.slots[index - 1]
            column += max(_needed(before, slot), 2 if before.onset is not None else 1, before.least)
        for cell in slot.cells:
            column = max(column, stops.get(cell.row, 0) + _apart(cell))
        columns.append(column)
        stops |= {cell.row: column + _behind(cell) for cell in slot.cells}
    least = columns[-1] + bar.slots[-1].least if bar.slots else LEAD + _LEAST_PER_QUARTER - 1
    return Placed(tuple(columns), max(*stops.values(), least, room - 1) + 1)


def _fits(bar: BarText, placed: Placed) -> bool:
    """Whether nothing runs into its neighbour, the bar line before or the one behind."""
    if not bar.slots:
        return True
    first, last = bar.slots[0], bar.slots[-1]
    if placed.columns[0] < max((_before(cell) for cell in first.cells), default=0):
        return False
    if placed.columns[-1] + max(_after(last), last.least) >= placed.width:
        return False
    gaps = (later - earlier for earlier, later in pairwise(placed.columns))
    return all(
        gap >= max(_needed(before, slot), before.least)
        for gap, (before, slot) in zip(gaps, pairwise(bar.slots), strict=True)
    ) and _rows_fit(bar, placed)


def _needed(before: Slot, slot: Slot | None) -> int:
    """The fewest columns between the digits of two slots in a row: characters of one row keep apart, and
    numbers of different rows do not share a column, or they would read as struck together."""
    core = max((len(cell.core) - cell.inset for cell in before.cells), default=1)
    inset = max((cell.inset for cell in slot.cells), default=0) if slot else 0
    least = core + inset
    if slot is None:
        return max(least, _after(before))
    ends = {cell.row: len(cell.core) - cell.inset + len(cell.trail) for cell in before.cells}
    for cell in slot.cells:
        if cell.row in ends:
            least = max(least, ends[cell.row] + _before(cell) + (not cell.lead and not cell.join))
    return least


def _rows_fit(bar: BarText, placed: Placed) -> bool:
    """Marks may reach past the next slot on a row that has nothing there, but not into its next cell."""
    stops: dict[int, int] = {}
    for slot, column in zip(bar.slots, placed.columns, strict=True):
        for cell in slot.cells:
            # The first cell of a row may touch the bar line.
            if column - _apart(cell) < stops.get(cell.row, -1):
                return False
            stops[cell.row] = column + _behind(cell)
    return all(stop <= placed.width for stop in stops.values())


def _before(cell: Cell) -> int:
    """Columns that a cell takes left of its first digit."""
    return cell.inset + len(cell.lead) + len(cell.join)


def _apart(cell: Cell) -> int:
    """Columns that must lie between the end of a row's cell and the next cell's first digit: marks touch
    what they join, bare frets keep one filler between them."""
    return _before(cell) + (not cell.lead and not cell.join)


def _behind(cell: Cell) -> int:
    """Columns that a cell takes from its first digit on."""
    return len(cell.core) - cell.inset + len(cell.trail)


def _after(slot: Slot) -> int:
    return max((_behind(cell) for cell in slot.cells), default=1)
