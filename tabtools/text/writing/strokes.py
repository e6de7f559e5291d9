"""The bar lines of a system as they will be drawn: of one width on all strings, and cut where a line ends."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from tabtools.text.page.string_row import Row
from tabtools.text.patterns import lazy
from tabtools.text.rows.columns import RawBar
from tabtools.text.writing.spacing import FILLER

_LINE = lazy(r"(?P<before>[^|]*)(?P<strokes>\|+)(?P<behind>[^|]*)")

BarLines = list[list[str]]


def bar_lines(rows: Sequence[Row], bars: Sequence[RawBar]) -> BarLines | None:
    """For each row its bar lines, before the first bar to behind the last, each as wide as on the other
    rows; None where the rows do not draw the same lines. Rows may stop short."""
    columns: list[list[str]] = []
    drawn = [_drawn(row, number, bars) for number, row in enumerate(rows)]
    for lines in zip(*drawn, strict=True):
        # A row that stops short is filled up to the end of the others.
        full = next((line for line in lines if line), "")
        alike = _alike([line or full for line in lines])
        if alike is None:
            return None
        columns.append(alike)
    return [list(row) for row in zip(*columns, strict=True)]


def _drawn(row: Row, number: int, bars: Sequence[RawBar]) -> list[str]:
    text = row.line.text[: row.end]
    bounds = [bar.bounds[number] for bar in bars]
    inner = [text[left[1] : right[0]] for left, right in pairwise(bounds)]
    return [line.strip(" ") for line in (text[row.start : bounds[0][0]], *inner, text[bounds[-1][1] :])]


def _alike(lines: Sequence[str]) -> list[str] | None:
    """Lines of one width: repeat dots stand on some rows only, the others have filler there."""
    if len(set(lines)) == 1:
        return list(lines)
    found = [_LINE.fullmatch(line) for line in lines]
    matches = [match for match in found if match is not None]
    if len(matches) < len(lines) or len({match["strokes"] for match in matches}) > 1:
        return None
    before = max(len(match["before"]) for match in matches)
    behind = max(len(match["behind"]) for match in matches)
    return [
        match["before"].rjust(before, FILLER) + match["strokes"] + match["behind"].ljust(behind, FILLER)
        for match in matches
    ]


def closing(line: str) -> str:
    """What of a bar line ends a system that is cut there."""
    match = _LINE.fullmatch(line)
    return match["before"] + match["strokes"] if match else line


def opening(line: str) -> str:
    """What of a bar line begins the next system."""
    match = _LINE.fullmatch(line)
    return "|" + match["behind"] if match else line
