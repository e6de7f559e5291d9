"""Notes to columns: what was struck together, also where a row has slipped by a character."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise
from operator import attrgetter

from tabtools.record import NamedTuple
from tabtools.text.rows.tokens import RowNote

JOINING = ("hammer", "pull", "slide")
_COLUMN = attrgetter("column")


class Column(NamedTuple):
    """Notes struck together; ``column`` is that of the leftmost digit."""

    column: int
    notes: tuple[RowNote, ...]

    @property
    def grace(self) -> bool:
        """Whether every note here is a grace note."""
        for note in self.notes:
            if not note.techniques or all(technique.name != "grace" for technique in note.techniques):
                return False
        return True


class Edges(NamedTuple):
    """How far a row's bar lines stand right of the usual ones at the two ends of a bar."""

    left: int
    right: int


Group = list[tuple[int, RowNote]]


class Columns(NamedTuple):
    """The columns of a bar in order; ``near`` are those whose notes stood one column apart, ``slanting`` the
    runs of notes that may be one slow strum."""

    all: list[Column]
    near: list[Column]
    slanting: list[list[RowNote]]


def columns_of(notes: Sequence[RowNote], edges: Sequence[Edges] | None) -> Columns:
    """The columns of a bar from its notes, which come row by row.

    Only one note of a row can be in a column. Notes one column apart belong together when nothing else
    stands as near and neither is reached by a hammer-on, pull-off or slide.
    """
    if edges is None:
        notes = sorted(notes, key=_COLUMN)
        if _apart(notes):
            return Columns([Column(note.column, (note,)) for note in notes], [], [])
        placed = [(note.column, note) for note in notes]
    else:
        placed = sorted(_straightened(notes, edges), key=lambda item: (item[0], item[1].row))
    groups = _overlapping(placed)
    if len(groups) < 2:
        return Columns([_column(group) for group in groups], [], [])
    slipped = {row for row, edge in enumerate(edges or ()) if edge.left != edge.right}
    return _with_neighbours(groups, slipped)


def _apart(notes: Sequence[RowNote]) -> bool:
    """Whether every note stands clear of the one before it, as in a melody; most bars are that simple."""
    reached, last = 0, -2
    for note in notes:
        column = note.column
        if note.start < reached or column - last < 2 or note.lead is not None:
            return False
        reached, last = note.end, column
    return True


def _straightened(notes: Sequence[RowNote], edges: Sequence[Edges]) -> Group:
    """Every note with the column that it would have if its row had not slipped."""
    found: Group = []
    slipped: dict[int, list[RowNote]] = {}
    for placed in notes:
        edge = edges[placed.row]
        if edge.left == edge.right:
            found.append((placed.column - edge.left, placed))
        else:
            slipped.setdefault(placed.row, []).append(placed)
    others = {column for column, _ in found}
    for row, own in slipped.items():
        found += zip(_best_shift(own, edges[row], others), own, strict=True)
    return found


def _best_shift(own: list[RowNote], edge: Edges, others: set[int]) -> list[int]:
    """The columns of a row that slips inside the bar: from one note on, or a column after every fret of two
    digits. The reading that meets most of the other rows' columns wins; of equals the one that moves least.
    """
    columns = [placed.column for placed in own]
    readings = []
    for first in range(len(own), -1, -1):
        readings.append(
            [column - (edge.left if index < first else edge.right) for index, column in enumerate(columns)]
        )
    wide = [placed.fret is not None and placed.fret > 9 for placed in own]
    if sum(wide) == edge.right - edge.left:
        readings.append([column - edge.left - sum(wide[:index]) for index, column in enumerate(columns)])
    return max(
        readings,
        key=lambda reading: (
            sum(column in others for column in reading),
            sum(column == kept for column, kept in zip(reading, columns, strict=True)),
        ),
    )


def _overlapping(placed: Group) -> list[Group]:
    groups: list[Group] = []
    for column, note in placed:
        if groups:
            first_column, first = groups[-1][0]
            shift = column - note.column
            start, end = note.start + shift, note.end + shift
            base = first_column - first.column
            overlaps = start < first.end + base and end > first.start + base
            if (overlaps or _aligned(first, base, note, shift)) and (
                all(other.row != note.row for _, other in groups[-1])
            ):
                groups[-1].append((column, note))
                continue
        groups.append([(column, note)])
    return groups


def _aligned(one: RowNote, base: int, other: RowNote, shift: int) -> bool:
    """Whether one of two notes stands below the other's mark, as in ``/9`` over a ``0``."""
    if one.lead is not None and one.lead + base == other.column + shift:
        return True
    return other.lead is not None and other.lead + shift == one.column + base


def _with_neighbours(groups: list[Group], slipped: set[int]) -> Columns:
    places = [group[0][0] for group in groups]
    if all(later - earlier > 1 for earlier, later in pairwise(places)):
        return Columns([_column(group) for group in groups], [], [])
    runs = list(_runs(groups))
    slanting = [run for run in runs if _slants(run)]
    # Where notes stand side by side three in a row, the page is written that tight.
    tight = any(len(run) > 2 for run in runs) and len(slanting) < sum(len(run) > 2 for run in runs)
    found = Columns([], [], [[note for group in run for _, note in group] for run in slanting])
    for run in runs:
        if len(run) == 2 and not tight and _belong(run[0], run[1], slipped):
            found.near.append(_column([*run[0], *run[1]]))
            found.all.append(found.near[-1])
        else:
            found.all.extend(map(_column, run))
    return found


def _runs(groups: list[Group]) -> Iterator[list[Group]]:
    """Groups each one column from the next."""
    run = [groups[0]]
    for group in groups[1:]:
        if group[0][0] - run[-1][0][0] > 1:
            yield run
            run = []
        run.append(group)
    yield run


def _belong(one: Group, other: Group, slipped: set[int]) -> bool:
    rows = {placed.row for _, placed in one}
    others = {placed.row for _, placed in other}
    if rows & others or slipped & (rows | others):
        return False
    return not any(t.name in JOINING for _, placed in (*one, *other) for t in placed.techniques)


def _slants(run: list[Group]) -> bool:
    """Three or more single notes, each one column and one string further than the one before."""
    if len(run) < 3 or any(len(group) > 1 for group in run):
        return False
    rows = [group[0][1].row for group in run]
    steps = {later - earlier for earlier, later in pairwise(rows)}
    return steps in ({1}, {-1})


def _column(group: Group) -> Column:
    if len(group) == 1:
        return Column(group[0][0], (group[0][1],))
    return Column(group[0][0], tuple(sorted((placed for _, placed in group), key=lambda placed: placed.row)))
