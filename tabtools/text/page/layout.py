"""The page: which lines are string rows, how they group into systems, and what stands around them."""

from __future__ import annotations

from collections.abc import Iterator

from tabtools.record import NamedTuple
from tabtools.source import UnreadableError
from tabtools.text.page.clean import Line
from tabtools.text.page.kinds import ReadLine
from tabtools.text.page.marks import Legend
from tabtools.text.page.string_row import Row, mend_rows, read_row
from tabtools.text.patterns import lazy

MOST_STRINGS = 12
_HIGHEST = 8
# A lone row without bar lines is so long at least, and has so many frets.
_LONG = 10
_FEWEST_FRETS = 2
_FRET = lazy(r"(?<=-)\d{1,2}(?=-|$)")

# Another row on the same line: the line breaks are lost.
_FLAT = lazy(r"[A-Ga-g]\|[-|\dhpb/\\~x]{3}")
# A line over the strings that numbers the endings of a repeat.
_ENDINGS = lazy(r"[ ]+\|[1-9]\.?-{2,}\|?(?:[ ]*\|[1-9]\.?-{2,}\|?)*[ ]*")
# One with the brackets of triplets.
_BRACKETS = lazy(r"[ ]++(?:[-|\[\] ]*-[ ]?3(?=[ ]?-))+[-|\[\] ]*")
_NECK = lazy(r"(?<=[-|])[oR*](?=[-|])")


class Block(NamedTuple):
    """String rows that sound together, top row first, and the indexes of their first line and of the one
    behind the last."""

    first: int
    end: int
    rows: tuple[Row, ...]


class System(NamedTuple):
    """A block of string rows with the lines right above and below them."""

    rows: tuple[Row, ...]
    above: tuple[ReadLine, ...] = ()
    below: tuple[ReadLine, ...] = ()

    @property
    def first(self) -> int:
        """The number of its first line, those over the rows included."""
        return self.above[0].number if self.above else self.rows[0].line.number

    @property
    def last(self) -> int:
        """The number of its last line, those under the rows included."""
        return self.below[-1].number if self.below else self.rows[-1].line.number


class Page(NamedTuple):
    """A whole text: every line, the systems in order, the lines that belong to no system, and what its
    legend changes in the table of marks."""

    lines: tuple[Line, ...]
    systems: tuple[System, ...]
    prose: tuple[ReadLine, ...]
    legend: Legend = ()


def find_blocks(lines: tuple[Line, ...]) -> tuple[Block, ...]:
    """The blocks of string rows of a page, in order.

    Raises UnreadableError for more rows below each other than any instrument has strings.
    """
    rows = [read_row(line) for line in lines]
    mend_rows(lines, rows)
    return tuple(
        Block(first, end, tuple(_present(rows[first:end])))
        for run in _runs(rows)
        for first, end in _split_run(rows, *run)
    )


def _present(rows: list[Row | None]) -> list[Row]:
    return [row for row in rows if row is not None]


def _runs(rows: list[Row | None]) -> Iterator[tuple[int, int]]:
    """First and end index of every stretch of neighbouring rows that can be a system."""
    index = 0
    while index < len(rows):
        if rows[index] is None:
            index += 1
            continue
        first = index
        while index < len(rows) and rows[index] is not None:
            index += 1
        start, end = _without_dividers(rows, first, index)
        if _is_system(_present(rows[start:end])):
            yield start, end


def _is_system(run: list[Row]) -> bool:
    """Whether neighbouring rows are music: three or more, or a labelled one with bar lines, and neither
    bare rules nor a picture of the neck."""
    bodies = [row.body for row in run]
    if len(run) < 3:
        flat = any(_FLAT.search(row.remark) for row in run)
        return not flat and any(row.label and ("|" in row.body or _is_played(row)) for row in run)
    if not any(row.label or row.body.strip("-") for row in run):
        return False
    if not any("o" in body or "R" in body or "*" in body for body in bodies):
        return True
    signs = sum(len(_NECK.findall(body)) for body in bodies)
    return signs < 3 or any(character.isdigit() for body in bodies for character in body)


def _is_played(row: Row) -> bool:
    """Whether a row without a bar line is music all the same: long, mostly filler, with frets between."""
    body = row.body
    return (
        len(body) >= _LONG and 2 * body.count("-") >= len(body) and len(_FRET.findall(body)) >= _FEWEST_FRETS
    )


def _without_dividers(rows: list[Row | None], first: int, end: int) -> tuple[int, int]:
    """A line of bare hyphens at the edge of a run is a divider, where the rows beside it say otherwise; over
    them may stand one of endings, or of brackets that begin farther right than the strings."""
    left = min(row.start for row in _present(rows[first:end]))

    def divides(row: Row | None) -> bool:
        if row is None or row.label:
            return False
        if row.start > left and _BRACKETS.fullmatch(row.line.text):
            return True
        return not row.body.strip("-") or _ENDINGS.fullmatch(row.line.text) is not None

    def told(row: Row | None) -> bool:
        return row is not None and (bool(row.label) or "|" in row.body)

    strings = [at for at in range(first, end) if not divides(rows[at])]
    if not strings or not any(told(rows[at]) for at in (strings[0], strings[-1])):
        return first, end
    return strings[0], strings[-1] + 1


def _split_run(rows: list[Row | None], first: int, end: int) -> list[tuple[int, int]]:
    """Systems without a blank line between them: cut where the labels begin anew."""
    labels = [row.label for row in _present(rows[first:end])]
    for height in (6, 4, 5, 7, 8, 3):
        if len(labels) > height and len(labels) % height == 0:
            same = sum(label == labels[index % height] for index, label in enumerate(labels))
            # One label in five may be damaged; a run as high as an instrument must repeat to the letter.
            repeats = same == len(labels) or (len(labels) > _HIGHEST and 5 * same >= 4 * len(labels))
            # Bare rows tell nothing; twelve of them are two guitars' worth.
            if repeats and (any(labels) or height == 6):
                return [(at, at + height) for at in range(first, end, height)]
    if len(labels) > MOST_STRINGS:
        raise UnreadableError(
            f"{len(labels)} string rows stand below each other and no instrument has more than "
            f"{MOST_STRINGS} strings: put a blank line between the systems",
            first + 1,
        )
    return [(first, end)]
