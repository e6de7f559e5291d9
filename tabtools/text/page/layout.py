"""The page: which lines are string rows, how they group into systems, and what stands around them."""

from __future__ import annotations

import re
from collections.abc import Iterator

from tabtools.record import NamedTuple
from tabtools.source import UnreadableError
from tabtools.text.page.clean import Line
from tabtools.text.page.header import are_chords, is_header
from tabtools.text.page.string_row import Row, mend_rows, read_row
from tabtools.text.patterns import lazy

MOST_STRINGS = 12
_HIGHEST = 8

# Another row on the same line: the line breaks are lost.
_FLAT = lazy(r"[A-Ga-g]\|[-|\dhpb/\\~x]{3}")
# A line over the strings that numbers the endings of a repeat.
_ENDINGS = lazy(r"[ ]+\|[1-9]\.?-{2,}\|?(?:[ ]*\|[1-9]\.?-{2,}\|?)*[ ]*")
# One with the brackets of triplets.
_BRACKETS = lazy(r"[ ]+(?:[-|\[\] ]*-[ ]?3(?=[ ]?-))+[-|\[\] ]*")
_NECK = lazy(r"(?<=[-|])[oR*](?=[-|])")


class System(NamedTuple):
    """String rows that sound together, top row first, with the lines right above and below them."""

    rows: tuple[Row, ...]
    above: tuple[Line, ...] = ()
    below: tuple[Line, ...] = ()


class Page(NamedTuple):
    """A whole text: every line, the systems in order, and the lines that belong to no system."""

    lines: tuple[Line, ...]
    systems: tuple[System, ...]
    prose: tuple[Line, ...]


def find_systems(lines: tuple[Line, ...]) -> Page:
    """Group the lines of a page into systems and prose.

    Raises UnreadableError for more rows below each other than any instrument has strings.
    """
    rows = [read_row(line) for line in lines]
    mend_rows(lines, rows)
    bounds = [bound for run in _runs(rows) for bound in _split_run(rows, *run)]
    taken: set[int] = set()
    for first, last in bounds:
        taken.update(range(first, last))
    systems: list[System] = []
    floor = 0
    for index, (first, last) in enumerate(bounds):
        ceiling = bounds[index + 1][0] if index + 1 < len(bounds) else len(lines)
        above = _neighbours(lines, range(first - 1, floor - 1, -1))[::-1]
        if not systems:
            above = above[_heading(above) :]
        below = _neighbours(lines, range(last, ceiling))
        if last + len(below) == ceiling and index + 1 < len(bounds):
            below = below[: _hanging(below)]
        floor = last + len(below)
        taken.update(range(first - len(above), floor))
        systems.append(System(tuple(_present(rows[first:last])), tuple(above), tuple(below)))
    prose = tuple(line for index, line in enumerate(lines) if index not in taken and line.text.strip())
    return Page(lines, tuple(systems), prose)


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
        return not flat and any(row.label and "|" in row.body for row in run)
    if not any(row.label or row.body.strip("-") for row in run):
        return False
    if not any("o" in body or "R" in body or "*" in body for body in bodies):
        return True
    signs = sum(len(_NECK.findall(body)) for body in bodies)
    return signs < 3 or any(character.isdigit() for body in bodies for character in body)


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


def _neighbours(lines: tuple[Line, ...], indexes: range) -> list[Line]:
    """The lines at these places up to the first blank one."""
    found = []
    for index in indexes:
        if not lines[index].text.strip():
            break
        found.append(lines[index])
    return found


def _heading(lines: list[Line]) -> int:
    """How many lines right over the first system are the heading of the page: those down to a header line,
    where no chords stand among them."""
    said = [number for number, line in enumerate(lines, 1) if is_header(line.text)]
    heading = lines[: said[-1]] if said else []
    return 0 if any(are_chords(line.text) for line in heading) else len(heading)


def _hanging(lines: list[Line]) -> int:
    """How many lines between two systems, no blank among them, belong to the upper one: the counts."""
    count = 0
    while count < len(lines) and re.match(r"\s*1\s+[&+e2.]", lines[count].text):
        count += 1
    return count
