"""Dashes and bar lines of another alphabet in a row that is typed in plain ones: somebody's program put them
there. They are read for what they look like; a row that has them throughout is a way of drawing."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from itertools import groupby

from tabtools.doubts import LookalikeCharacter
from tabtools.source import Source
from tabtools.text.page.clean import Line
from tabtools.text.page.layout import System

_DRAWN = "-|"


def lookalike_doubts(system: System, source: Source) -> Iterator[LookalikeCharacter]:
    """A doubt for dashes and bar lines that are not typed as the others of their row are, run by run."""
    if not source.text.isascii():
        for row in system.rows:
            yield from _strangers(row.line, row.start, source.text)


def _strangers(line: Line, start: int, text: str) -> Iterator[LookalikeCharacter]:
    typed = [
        (column, drawn, text[line.at(column)])
        for column, drawn in enumerate(line.text[start:], start)
        if drawn in _DRAWN
    ]
    forms = {drawn: Counter(form for _, other, form in typed if other == drawn) for drawn in _DRAWN}
    strangers = [
        (column, drawn, form)
        for column, drawn, form in typed
        if not form.isascii() and forms[drawn][form] < forms[drawn][drawn]
    ]
    for _, run in groupby(enumerate(strangers), key=lambda item: item[1][0] - item[0]):
        columns, drawn, typed_as = zip(*(stranger for _, stranger in run), strict=True)
        span = line.span(columns[0], columns[-1] + 1)
        yield LookalikeCharacter(span, "".join(typed_as), "".join(drawn))
