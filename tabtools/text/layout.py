"""The page: which lines are string rows, how they group into systems, and what stands around them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import NamedTuple

from tabtools.source import UnreadableError
from tabtools.text.clean import Line

MOST_STRINGS = 12

_ROW = re.compile(
    r"(?P<indent>[ ]*)(?P<label>[A-Ha-h](?:\#|b|♯|♭)?\d?|\d{1,2}(?=\)?[ ]*\|))?\)?[ ]*(?P<body>[|:\-].*)"
)
# A body runs to the first blank that no filler or bar line follows; what comes then is a remark.
_BODY = re.compile(r"[^ ]+(?:[ ]+(?=[-|])[^ ]+)*")
_COUNT_AT_END = re.compile(r"(?<=\|)[(\[]?(?:[xX]\d+|\d+[xX])[)\]]?$")
_MUSIC = re.compile(r"[-|:0-9hHpPbrsStTvgxX/\\~^<>()\[\]*=.o]")
_LETTERS = re.compile(r"[A-Za-z]{3,}")


class Row(NamedTuple):
    """One string's line. ``start`` and ``end`` are the columns of its body, from the first bar line or
    filler to the end of the last; ``remark`` is the text to the right of it."""

    line: Line
    label: str
    start: int
    end: int
    remark: str = ""

    @property
    def body(self) -> str:
        """The row without label and remark."""
        return self.line.text[self.start : self.end]


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


def read_row(line: Line) -> Row | None:
    """The string row that a line holds, or None where it is something else."""
    text = line.text
    if "-" not in text and "|" not in text:
        return None
    match = _ROW.match(text)
    if match is None:
        return None
    start = match.start("body")
    run = _BODY.match(text, start)
    assert run is not None
    end = run.end()
    if count := _COUNT_AT_END.search(text, start, end):
        end = count.start()
    body = text[start:end]
    if body.count("-") < 2 or _LETTERS.search(body) or len(_MUSIC.findall(body)) < 0.8 * len(body):
        return None
    return Row(line, match["label"] or "", start, end, text[end:].strip())


def find_systems(lines: tuple[Line, ...]) -> Page:
    """Group the lines of a page into systems and prose.

    Raises UnreadableError for more rows below each other than any instrument has strings.
    """
    rows = [read_row(line) for line in lines]
    bounds = [bound for run in _runs(rows) for bound in _split_run(rows, *run)]
    taken: set[int] = set()
    for first, last in bounds:
        taken.update(line.number for line in lines[first:last])
    systems = []
    floor = 0
    for index, (first, last) in enumerate(bounds):
        ceiling = bounds[index + 1][0] if index + 1 < len(bounds) else len(lines)
        above = _neighbours(lines, range(first - 1, floor - 1, -1))[::-1]
        below = _neighbours(lines, range(last, ceiling))
        if last + len(below) == ceiling and index + 1 < len(bounds):
            below = below[: _hanging(below)]
        floor = last + len(below)
        taken.update(line.number for line in (*above, *below))
        systems.append(System(tuple(_present(rows[first:last])), tuple(above), tuple(below)))
    prose = tuple(line for line in lines if line.number not in taken and line.text.strip())
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
        run = _present(rows[start:end])
        if len(run) >= 3 or any(row.label and "|" in row.body for row in run):
            yield start, end


def _without_dividers(rows: list[Row | None], first: int, end: int) -> tuple[int, int]:
    """A line of bare hyphens at the edge of a run is a divider, where the rows beside it say otherwise."""

    def divides(row: Row | None, beside: Row | None) -> bool:
        if row is None or beside is None or row.label or row.body.strip("-"):
            return False
        return bool(beside.label) or "|" in beside.body

    while end - first > 1 and divides(rows[first], rows[first + 1]):
        first += 1
    while end - first > 1 and divides(rows[end - 1], rows[end - 2]):
        end -= 1
    return first, end


def _split_run(rows: list[Row | None], first: int, end: int) -> list[tuple[int, int]]:
    """Systems without a blank line between them: cut where the labels begin anew."""
    labels = [row.label for row in _present(rows[first:end])]
    for height in (6, 4, 5, 7, 8, 3):
        if len(labels) > height and len(labels) % height == 0:
            same = sum(label == labels[index % height] for index, label in enumerate(labels))
            # One label in five may be damaged.
            repeats = 5 * same >= 4 * len(labels)
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


def _hanging(lines: list[Line]) -> int:
    """How many lines between two systems, no blank among them, belong to the upper one: the counts."""
    count = 0
    while count < len(lines) and re.match(r"\s*1\s+[&+e2.]", lines[count].text):
        count += 1
    return count
