"""Slips of the keyboard and of autocorrect on string rows, set right before the rows are read.

Every repair keeps the columns, or gives back those that autocorrect took; each is told.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Set

from tabtools.doubts import Doubt, LookalikeCharacter, StrayCharacter, UnevenLabels
from tabtools.source import Source
from tabtools.text.page.clean import Line
from tabtools.text.page.layout import System
from tabtools.text.page.string_row import Row
from tabtools.text.patterns import lazy

_LETTER = lazy(r"[Oo](?<=[-|\d].)(?=[-|\d])|[lI](?<=-.)(?=-)")
_DIGITS = {"O": "0", "o": "0", "l": "1", "I": "1"}
_LONG_DASHES = "\u2013\u2014\u2015"


def mend(system: System, source: Source, marks: Set[str] = frozenset()) -> tuple[System, list[Doubt]]:
    """The system with its rows mended: letters for digits, unless they are ``marks`` of the page's legend,
    long dashes that stand for two hyphens, a letter or bracket where the other rows have their bar line."""
    texts = [row.line.text for row in system.rows]
    slips = _DIGITS.keys() - marks
    letters = any(_LETTER.search(text) for text in texts if not slips.isdisjoint(text))
    dashes = not source.text.isascii() and len({row.end for row in system.rows}) > 1
    if not letters and not dashes:
        return system, []
    doubts: list[Doubt] = []
    rows = list(system.rows)
    if letters:
        dots = _repeat_dots(rows)
        bars = _bar_columns(rows)
        rows = [_with_digits(row, slips, dots, bars, doubts) for row in rows]
    if dashes:
        usual = Counter(row.end for row in rows).most_common(1)[0][0]
        rows = [_with_hyphens(row, usual, source, doubts) for row in rows]
    return system._replace(rows=tuple(rows)), doubts


def with_even_labels(system: System) -> tuple[System, list[Doubt]]:
    """The system with blanks before the narrower labels where these alone make its rows, which are drawn
    alike, begin at different columns; the lines around it go along with most of its rows."""
    rows = system.rows
    starts = [row.start for row in rows]
    widest = max(starts)
    if min(starts) == widest or not all(row.label for row in rows):
        return system, []
    drawn = {(len(row.body), *(at for at, sign in enumerate(row.body) if sign == "|")) for row in rows}
    if len(drawn) > 1:
        return system, []
    usual = Counter(starts).most_common(1)[0][0]
    odd = next(row for row in rows if row.start != usual)
    span = odd.line.span(0, odd.start)
    doubt = UnevenLabels(span, odd.label, abs(odd.start - usual), wider=odd.start > usual)
    moved = []
    for row in rows:
        shift = widest - row.start
        moved.append(row._replace(line=row.line.indented(shift), start=widest, end=row.end + shift))
    above, below = (
        tuple(line.indented(widest - usual) for line in lines) for lines in (system.above, system.below)
    )
    return System(tuple(moved), above, below), [doubt]


def _repeat_dots(rows: list[Row]) -> set[int]:
    """The columns beside a bar line where just two rows have an o: the dots of a repeat."""
    found = Counter(
        match.start()
        for row in rows
        for match in re.finditer(r"(?<=\|)o(?=[-\d])|(?<=-)o(?=\|)", row.line.text[: row.end])
    )
    return {column for column, count in found.items() if count == 2}


def _bar_columns(rows: list[Row]) -> set[int]:
    found = Counter(match.start() for row in rows for match in re.finditer(r"\|", row.line.text))
    return {column for column, count in found.items() if 2 * count >= len(rows)}


def _with_digits(row: Row, slips: Set[str], dots: set[int], bars: set[int], doubts: list[Doubt]) -> Row:
    text = row.line.text
    for match in _LETTER.finditer(text, row.start, row.end):
        at, letter = match.start(), match.group()
        if at in dots or letter not in slips:
            continue
        digit = "|" if at in bars and letter in "lI" else _DIGITS[letter]
        text = text[:at] + digit + text[at + 1 :]
        kind = LookalikeCharacter if digit == "|" else StrayCharacter
        doubts.append(kind(row.line.span(at, at + 1), letter, digit))
    return row._replace(line=row.line._replace(text=text))


def _with_hyphens(row: Row, usual: int, source: Source, doubts: list[Doubt]) -> Row:
    """A row that is short by as many columns as it has long dashes gets two hyphens for each."""
    line = row.line
    columns = [at for at in range(row.start, row.end) if source.text[line.at(at)] in _LONG_DASHES]
    if not columns or len(columns) != usual - row.end:
        return row
    places = list(line.places())
    text = line.text
    for at in reversed(columns):
        text = text[:at] + "-" + text[at:]
        places.insert(at, places[at])
    dash = source.text[line.at(columns[0])]
    doubts.append(StrayCharacter(line.span(columns[0], columns[0] + 1), dash, "--"))
    return row._replace(line=Line(line.number, text, line.offset, tuple(places)), end=usual)


def staff_metre(system: System) -> tuple[int, int] | None:
    """The metre that stands in a narrow first cell as two numbers below each other; None where none does."""
    cells = [re.match(r"\|([- ]{0,2}(\d{1,2})[- ]{0,2}|[- ]{1,6})\|", row.body) for row in system.rows]
    if not all(cells):
        return None
    numbers = [(index, cell[2]) for index, cell in enumerate(cells) if cell and cell[2]]
    if len(numbers) != 2 or numbers[1][0] != numbers[0][0] + 1:
        return None
    beats, unit = int(numbers[0][1]), int(numbers[1][1])
    return (beats, unit) if beats > 1 and unit in (2, 4, 8, 16) else None
