"""The account of a text page: every character that is not blank has one owner."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby

from tabtools.account import DECORATION, FACT, MARK, NOTE, UNKNOWN, WORDS, Owned
from tabtools.document import Document
from tabtools.source import Span
from tabtools.text.page.clean import Line
from tabtools.text.page.kinds import KINDS, ReadLine
from tabtools.text.page.layout import Page
from tabtools.text.page.marks import Marks, marks_for
from tabtools.text.page.string_row import Row
from tabtools.text.rows.lexer import read_row_tokens
from tabtools.text.words.annotations import repeat_count

# Signs in an empty bar for the bar before it once more.
_SAME = "%./:·"
# Kinds of lines whose facts are parts of them, with other words around.
_MIXED = ("header", "title", "direction", "prose", "legend", "times")
# What each kind of piece of a string row is, for `tabtools explain`.
ROW_KINDS = {
    "fret": "a fret on a string, with its brackets",
    "sign": "a technique, a bar line or a repeat on a string",
    "string": "the name of a string",
    "filler": "the line of a string where nothing is played",
    "beside": "words to the right of a string",
    "unread": "on a string, and neither fret nor technique: reported",
    "dropped": "markup, quote signs, line numbers and remarks to this program",
}


def account(document: Document) -> tuple[Owned, ...]:
    """Every character of a text page that is not blank with its owner, in order; nothing for MusicXML."""
    page = document.page
    if page is None:
        return ()
    owners: list[tuple[str, str] | None] = [None] * len(document.source.text)
    _own_dropped(owners, page)
    for line in page.prose:
        _own_line(owners, line)
    marks = marks_for(page.legend)
    for system in page.systems:
        for line in (*system.above, *system.below):
            _own_line(owners, line)
        for row in system.rows:
            _own_row(owners, row, marks)
    return tuple(_runs(document.source.text, owners))


def left_behind(page: Page) -> list[ReadLine]:
    """The lines of a page whose words no score holds: prose, lyrics, strokes of the pick."""
    lines = [*page.prose, *(line for system in page.systems for line in (*system.above, *system.below))]
    kinds = ("prose", "lyrics", "strokes", "unknown")
    return sorted((line for line in lines if line.kind in kinds), key=lambda line: line.number)


def _runs(text: str, owners: list[tuple[str, str] | None]) -> Iterator[Owned]:
    """Neighbouring characters of one owner as one piece, blanks apart."""
    named = ((at, owner) for at, owner in enumerate(owners) if owner is not None and not text[at].isspace())
    for (owner, _), group in groupby(enumerate(named), key=lambda item: (item[1][1], item[1][0] - item[0])):
        places = [at for _, (at, _) in group]
        yield Owned(Span(places[0], places[-1] + 1), *owner)


def _give(
    owners: list[tuple[str, str] | None], line: Line, start: int, end: int, owner: tuple[str, str]
) -> None:
    for column in range(max(start, 0), min(end, len(line.text))):
        if line.text[column] != " ":
            owners[line.at(column)] = owner


def _own_dropped(owners: list[tuple[str, str] | None], page: Page) -> None:
    """What stands in the source and in no clean line was dropped as the page was cleaned."""
    kept = bytearray(len(owners))
    for line in page.lines:
        for column in range(len(line.text)):
            if (at := line.at(column)) < len(kept) and line.text[column] != " ":
                kept[at] = 1
    for at, is_kept in enumerate(kept):
        if not is_kept:
            owners[at] = (DECORATION, "dropped")


def _own_line(owners: list[tuple[str, str] | None], line: ReadLine) -> None:
    owner = KINDS[line.kind].owner
    mixed = owner == FACT and line.kind in _MIXED
    _give(owners, line.line, 0, len(line.text), (WORDS if mixed else owner, line.kind))
    for fact in line.facts if owner in (FACT, WORDS) else ():
        _give(owners, line.line, fact.start, fact.end, (FACT, fact.name))
    if mixed and not line.facts:
        _give(owners, line.line, 0, len(line.text), (FACT, line.kind))


def _own_row(owners: list[tuple[str, str] | None], row: Row, marks: Marks) -> None:
    line = row.line
    _give(owners, line, 0, row.start, (FACT, "string"))
    passes = bool(row.remark) and repeat_count(row.remark) is not None
    _give(owners, line, row.end, len(line.text), (FACT, "times") if passes else (WORDS, "beside"))
    filler = [at for at in range(row.start, row.end) if line.text[at] == "-"]
    for start, end in _neighbours(filler):
        _give(owners, line, start, end, (DECORATION, "filler"))
    tokens = read_row_tokens(line.text, row.start, row.end, marks)
    for bar in tokens.bars:
        _give(owners, line, bar.start, bar.end, (MARK, "sign"))
    for start, end in tokens.marks:
        _give(owners, line, start, end, (MARK, "sign"))
    for note in tokens.notes:
        _give(owners, line, note.column, note.stop, (MARK, "sign"))
        _give(owners, line, note.start, note.end, (NOTE, "fret"))
    for start, end in tokens.unknown:
        same = all(sign in _SAME for sign in line.text[start:end])
        _give(owners, line, start, end, (MARK, "sign") if same else (UNKNOWN, "unread"))

    # The names of a second block of rows beside the first are blanks in the row.
    for column, sign in enumerate(line.text):
        at = line.at(column)
        if sign == " " and at < len(owners) and owners[at] is None:
            owners[at] = (FACT, "string")


def _neighbours(columns: Iterable[int]) -> Iterator[tuple[int, int]]:
    for _, group in groupby(enumerate(columns), key=lambda item: item[1] - item[0]):
        run = [column for _, column in group]
        yield run[0], run[-1] + 1
