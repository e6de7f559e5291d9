"""Two takes of a phrase side by side: an exact alignment of what is struck, by pitch and time."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tabtools.record import NamedTuple
from tabtools.score import Bar, Event, Note, Part, Quarters

# What it costs that a stroke has no partner, in thousandths; and what two partners cost where all their
# pitches differ, or their time in the bar does. Two lonely strokes cost more than a slip.
GAP = 1000
_PITCH, _TIME, _SHAPE = 1400, 300, 60


class Stroke(NamedTuple):
    """What is struck together: the place of its bar counted from 0, the bar, the event, the notes that are
    struck, and when, in quarter notes from the start of the part."""

    number: int
    bar: Bar
    event: Event
    notes: tuple[Note, ...]
    start: Quarters

    @property
    def pitches(self) -> tuple[int, ...]:
        """MIDI numbers from the highest string down; -1 for a dead note."""
        return tuple(note.pitch.midi if note.pitch else -1 for note in self.notes)


class Pair(NamedTuple):
    """A stroke of the first take with its partner in the second; None for one that has none."""

    first: Stroke | None
    second: Stroke | None


class Alignment(NamedTuple):
    """The strokes of two takes in pairs, in order; ``interval`` is by how many semitones the second take lies
    higher as a whole, ``cost`` what sets them apart, in thousandths of a stroke."""

    pairs: tuple[Pair, ...]
    interval: int
    cost: int


def strokes(part: Part) -> tuple[Stroke, ...]:
    """Everything that is struck in a part, in order; what is only held on is part of what it is tied to."""
    return tuple(_strokes(part))


def _strokes(part: Part) -> Iterator[Stroke]:
    for number, (bar, start) in enumerate(zip(part.bars, part.starts, strict=True)):
        for event in sorted(bar.events, key=lambda event: (event.onset, not event.grace)):
            struck = tuple(note for note in event.notes if not note.tied)
            if struck:
                yield Stroke(number, bar, event, struck, start + event.onset)


def align(first: Sequence[Stroke], second: Sequence[Stroke], *, transposed: bool = True) -> Alignment:
    """The cheapest way to pair two takes in order, found by dynamic programming over all ways.

    With ``transposed`` the second may lie higher or lower as a whole, where that makes them more alike.
    """
    intervals = _intervals(first, second) if transposed else [0]
    return min(
        (_aligned(first, second, by) for by in intervals), key=lambda one: (one.cost, abs(one.interval))
    )


def _intervals(first: Sequence[Stroke], second: Sequence[Stroke]) -> list[int]:
    """The intervals that may lie between two takes: none, or that of notes at one place in both."""
    found = {0}
    for one, other in (*zip(first, second, strict=False), *zip(first[::-1], second[::-1], strict=False)):
        if -1 not in (*one.pitches, *other.pitches):
            found.add(other.pitches[0] - one.pitches[0])
    return sorted(found, key=lambda by: (abs(by), by))


def _aligned(first: Sequence[Stroke], second: Sequence[Stroke], by: int) -> Alignment:
    """The cheapest pairing for an interval; of equal ones that which pairs earliest."""
    rows, columns = len(first), len(second)
    costs = [[GAP * (i + j) if not i * j else 0 for j in range(columns + 1)] for i in range(rows + 1)]
    for i, one in enumerate(first, 1):
        row, above = costs[i], costs[i - 1]
        for j, other in enumerate(second, 1):
            row[j] = min(above[j - 1] + pair_cost(one, other, by), above[j] + GAP, row[j - 1] + GAP)
    pairs: list[Pair] = []
    i, j = rows, columns
    while i or j:
        if i and j and costs[i][j] == costs[i - 1][j - 1] + pair_cost(first[i - 1], second[j - 1], by):
            i, j = i - 1, j - 1
            pairs.append(Pair(first[i], second[j]))
        elif i and costs[i][j] == costs[i - 1][j] + GAP:
            i -= 1
            pairs.append(Pair(first[i], None))
        else:
            j -= 1
            pairs.append(Pair(None, second[j]))
    # An interval is a difference too, a small one: takes in one key are compared in it.
    return Alignment(tuple(pairs[::-1]), by, costs[rows][columns] + (GAP // 2 if by else 0))


def pair_cost(one: Stroke, other: Stroke, by: int) -> int:
    """What sets two strokes apart, in thousandths: pitches, time in the bar, places on the neck."""
    mine, theirs = {p + by if p >= 0 else p for p in one.pitches}, set(other.pitches)
    cost = _PITCH * len(mine ^ theirs) // len(mine | theirs) if mine != theirs else 0
    if one.event.onset != other.event.onset or one.event.grace != other.event.grace:
        cost += _TIME
    if one.number != other.number:
        cost += _TIME // 2 if abs(one.number - other.number) == 1 else _TIME
    if [note.string for note in one.notes] != [note.string for note in other.notes]:
        cost += _SHAPE
    return cost
