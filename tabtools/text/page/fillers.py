"""Rows filled with dots, underscores, equals signs or blanks get hyphens instead, column for column."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Sequence

from tabtools.text.page.clean import Line
from tabtools.text.page.labels import GAP, LABEL
from tabtools.text.patterns import lazy

_ROW = lazy(rf"[ ]*+{LABEL}?{GAP}(?P<body>[|._=].*)")
_BLANK_ROW = lazy(rf"[ ]*+{LABEL}{GAP}(?P<body>\|[^|]*\|.*)")
_FILLED = {mark: lazy(rf"[|:0-9hHpPbrsStTvgxX/\\~^<>()\[\]* o{re.escape(mark)}]+") for mark in "._= "}
_TAIL = lazy(r"(?<![ ])(?:[ ]{2,}\S.*|[ ]*)$")
_SPOILT = lazy(rf"[ ]*+{LABEL}{GAP}(?P<body>[|._=\w-].*)")
_LEAST = 3
_MOST_SLIPS = 2


def unify_fillers(lines: Sequence[Line]) -> tuple[Line, ...]:
    """The lines with hyphens for the filler of every run of rows that uses another one.

    A row of hyphens keeps its dots and underscores: there they are marks.
    """
    found = [_filled(line.text) for line in lines]
    if not any(found):
        return tuple(lines)
    found = [row or _spoilt(lines[at].text, found[max(at - 1, 0) : at + 2]) for at, row in enumerate(found)]
    done = list(lines)
    index = 0
    while index < len(found):
        first, here = index, found[index]
        while here and index < len(found) and (row := found[index]) and row[0] == here[0]:
            index += 1
        if index - first >= _LEAST and _in_columns(found[first:index]):
            for at in range(first, index):
                row = found[at]
                assert row is not None
                done[at] = _with_hyphens(lines[at], *row)
        index = max(index, first + 1)
    return tuple(done)


def _in_columns(run: Sequence[tuple[str, int, int] | None]) -> bool:
    """Whether rows can have kept their columns: blanks that were lost make rows of unlike length."""
    ends = [row[2] for row in run if row is not None]
    return any(row is not None and row[0] != " " for row in run) or max(ends) - min(ends) <= 2


def _spoilt(text: str, beside: Sequence[tuple[str, int, int] | None]) -> tuple[str, int, int] | None:
    """A row with a slip or two between or beside rows of another filler, as long as these and labelled."""
    near = next((row for row in beside if row is not None), None)
    match = _SPOILT.match(text) if near else None
    if near is None or match is None or abs(len(text.rstrip()) - near[2]) > 1:
        return None
    start, end = match.start("body"), max(len(text.rstrip()), near[2] - 1)
    odd = sum(_FILLED[near[0]].fullmatch(sign) is None for sign in text[start:end])
    return (near[0], start, end) if odd <= _MOST_SLIPS else None


def _filled(text: str) -> tuple[str, int, int] | None:
    """The filler of a row that is filled with anything but hyphens, and the columns that it fills."""
    if "|" not in text and "..." not in text and "__" not in text and "==" not in text:
        return None
    if text.count("-") > 1:
        return None
    match = _ROW.match(text)
    if match is None:
        return None
    start = match.start("body")
    tail = _TAIL.search(text, start)
    end = tail.start() if tail else len(text)
    marks = Counter(text[start:end])
    filler = max("._=", key=lambda mark: marks[mark])
    if marks[filler] < 2:
        blank = _BLANK_ROW.match(text)
        if blank is None:
            return None
        start, end, filler = blank.start("body"), text.rindex("|") + 1, " "
    body = text[start:end]
    return (filler, start, end) if _FILLED[filler].fullmatch(body) and len(body) > 2 else None


def _with_hyphens(line: Line, filler: str, start: int, end: int) -> Line:
    text = line.text
    return line._replace(text=text[:start] + text[start:end].replace(filler, "-") + text[end:])
