"""Where the notes of a bar stand in a writer's habit: columns from the bar line, and the bar's width."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import floor, gcd, log2
from random import Random
from typing import NamedTuple

from tests.benchmarks.tab_habits import Habit
from tests.benchmarks.tunes import TICKS, Tune, TuneBar

# How many of the wide numbers push where some do.
_SOME = 0.5


class Struck(NamedTuple):
    """One onset on the neck: the tick, (string row, fret) of each note (none: a rest), the mark that joins
    it, and what stands behind the number of its first note."""

    tick: int
    notes: tuple[tuple[int, int], ...]
    join: str = ""
    tail: str = ""

    @property
    def digits(self) -> int:
        return max((len(str(fret)) for _, fret in self.notes), default=1)


class Laid(NamedTuple):
    struck: Sequence[Struck]
    columns: Sequence[int]
    width: int

    @property
    def sounding(self) -> list[tuple[int, int]]:
        """(tick, column) of every onset."""
        return [
            (one.tick, column) for one, column in zip(self.struck, self.columns, strict=True) if one.notes
        ]


def common_step(bars: Sequence[TuneBar], step: str | int, tune: Tune) -> int:
    """The ticks of the finest step that a page needs."""
    if isinstance(step, int):
        return step
    found = gcd(tune.full, TICKS) if len(bars) > 3 else gcd(tune.full, 12)
    for bar in bars:
        found = gcd(found, bar.length, *(tick for tick, _ in bar.onsets))
    return found


def lay(
    struck: list[Struck], bar: TuneBar, step: int, habit: Habit, random: Random, line: int, first: bool
) -> Laid:
    """The bar in the writer's spacing, ``step`` ticks being the page's, ``first`` in its line or not."""
    lead = habit.lead + habit.ahead * first
    if habit.wander:
        lead += random.randint(0, habit.wander)
    if habit.packed:
        return _pack(struck, habit, lead, random)
    if habit.step == "bar":
        step = gcd(TICKS if bar.length % TICKS == 0 else 12, bar.length, *(s.tick for s in struck))
    music = _grown if habit.growth else _on_grid
    places = music(struck, bar, step, habit, line)
    columns, width = [lead + place for place in places[:-1]], lead + places[-1] + habit.trail
    columns, width = _push(struck, columns, width, habit, random)
    if habit.drift:
        columns, width = _drift(struck, columns, width, habit, random)
    if habit.multiple:
        width += -width % habit.multiple
    return Laid(struck, _slip(struck, columns, width, habit, random), width)


def _on_grid(struck: list[Struck], bar: TuneBar, step: int, habit: Habit, line: int) -> list[int]:
    """Columns of the onsets and of the bar's end from where the music begins, so many a step."""
    wide = habit.lines[line % len(habit.lines)] if habit.lines else habit.columns
    ticks = [*(one.tick for one in struck), bar.length]
    beats = [habit.apart * (tick // TICKS) for tick in ticks[:-1]]
    beats.append(habit.apart * (-(-bar.length // TICKS) - 1))
    return [
        (2 * tick * wide + step) // (2 * step) + more + habit.each * before
        for before, (tick, more) in enumerate(zip(ticks, beats, strict=True))
    ]


def _grown(struck: list[Struck], bar: TuneBar, step: int, habit: Habit, line: int) -> list[int]:
    """The same where a gap is wider by so many columns with every doubling of the length."""
    ticks = [*(one.tick for one in struck), bar.length]
    places = [round(ticks[0] * habit.columns / step)]
    for early, late in pairwise(ticks):
        gap = habit.columns + habit.growth * log2((late - early) / step)
        places.append(places[-1] + max(1, floor(gap + 0.5)))
    return places


def _drift(
    struck: list[Struck], columns: list[int], width: int, habit: Habit, random: Random
) -> tuple[list[int], int]:
    """A column too many or too few before some onsets, which moves all that follows."""
    if not columns:
        return columns, width
    moved, shift = columns[:1], 0
    for index in range(1, len(columns) + 1):
        column = (*columns, width)[index] + shift
        if random.random() < habit.drift:
            by = random.choice((-1, 1))
            after = struck[index] if index < len(struck) else None
            if column + by >= moved[-1] + _needs(struck[index - 1], after):
                column, shift = column + by, shift + by
        moved.append(column)
    return moved[:-1], moved[-1]


def _needs(struck: Struck, after: Struck | None, right: bool = False) -> int:
    """The fewest columns from one onset to the next; ``right`` where numbers end at theirs."""
    if right:
        return after.digits + 1 if after else 1
    joins = (len(after.join) if after and after.join else 0) - bool(after and after.join)
    return struck.digits + len(struck.tail) + 1 + joins


def _push(
    struck: list[Struck], columns: list[int], width: int, habit: Habit, random: Random
) -> tuple[list[int], int]:
    """Move everything behind a wide number, as the habit does it; marks that have no room always push."""
    moved, shift = [], 0
    for index, one in enumerate(struck):
        moved.append(columns[index] + shift)
        after = struck[index + 1] if index + 1 < len(struck) else None
        gap = (columns[index + 1] if after else width) - columns[index]
        if habit.push == "digits" or (habit.push == "some" and random.random() < _SOME):
            shift += one.digits - 1
            gap += one.digits - 1
        shift += max(0, _needs(one, after, habit.right) - gap) if after or habit.push == "tight" else 0
    return moved, width + shift


def _slip(struck: list[Struck], columns: list[int], width: int, habit: Habit, random: Random) -> list[int]:
    out = list(columns)
    for index in range(len(out)):
        lot = random.random()
        if lot >= habit.slips + habit.far:
            continue
        place = out[index] + random.choice((-1, 1)) * (1 if lot < habit.slips else 2)
        low = out[index - 1] + _needs(struck[index - 1], struck[index], habit.right) if index else 0
        high = width - struck[index].digits
        if index + 1 < len(out):
            high = columns[index + 1] - _needs(struck[index], struck[index + 1], habit.right)
        if low <= place <= high:
            out[index] = place
    return out


def _pack(struck: list[Struck], habit: Habit, lead: int, random: Random) -> Laid:
    columns, at = [], lead
    for index, one in enumerate(struck):
        columns.append(at)
        at += _needs(one, struck[index + 1] if index + 1 < len(struck) else None) + habit.packed - 1
        at += random.random() < habit.stray
    return Laid(struck, columns, max(at + habit.trail, 2))


def stretch(laid: Laid, bar: TuneBar, width: int, habit: Habit) -> Laid:
    """The bar at another width; numbers that would collide are shoved right."""
    music = width - habit.lead - habit.trail
    columns: list[int] = []
    for index, one in enumerate(laid.struck):
        place = habit.lead + (2 * one.tick * music + bar.length) // (2 * bar.length)
        if index:
            place = max(place, columns[-1] + _needs(laid.struck[index - 1], one))
        columns.append(place)
    return Laid(laid.struck, columns, max(width, columns[-1] + 2 if columns else 0))


def padded(laid: Laid, width: int, side: str) -> Laid:
    """The bar filled up with hyphens, at its right or its left end."""
    more = max(0, width - laid.width) if side == "left" else 0
    return Laid(laid.struck, [column + more for column in laid.columns], max(laid.width, width))
