"""Repairs of string rows: the one row that is drawn unlike the others, put right where they prove how.

A repair is the smallest edit of the row. It is safe where every note keeps its column in its bar, so that the
same music is read; where notes move, it is offered as a repair to be asked for.
"""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

from tabtools.doubts import Doubt, UnclosedBar
from tabtools.lint.finding import Edit, Fix
from tabtools.lint.gaps import Change, evidence, level
from tabtools.lint.places import row_name
from tabtools.lint.proof import proved
from tabtools.lint.view import View
from tabtools.record import NamedTuple
from tabtools.source import Source, UnreadableError, applied
from tabtools.text.page.layout import Page, System
from tabtools.text.page.string_row import Row, read_row
from tabtools.text.reader import read_text
from tabtools.text.rows.columns import read_bars

_LONG = 100_000  # characters


class _Drawn(NamedTuple):
    """How a row is drawn: the columns of its bar-line strokes, and its end."""

    strokes: tuple[int, ...]
    end: int


def mend_row(view: View, doubt: Doubt) -> tuple[Fix, ...]:
    """The repair of the row that a doubt lies in; none where the other rows do not prove one."""
    page = view.document.page
    if page is None:
        return ()
    system, number = row_at(page, doubt.span.start)
    changes = _changes(page, system, number)
    if not changes:
        return ()
    row, source = system.rows[number], view.document.source
    edits = tuple(_edit(source, row, change) for change in changes)
    # A stroke within a bar may stand for a fret that was meant, and so is asked for.
    asked = any(row.line.text[change.start : change.end] == "|" and change.text for change in changes)
    fix = Fix(edits, _message(row, changes), not asked and _keeps_columns(system, number, changes))
    if fix.safe and not _sounds_the_same(view, fix):
        fix = fix._replace(safe=False)
    return (fix,)


def _sounds_the_same(view: View, fix: Fix) -> bool:
    """Whether the page with a repair is read as the same music: what is off in one row can decide how the
    others are read. A page too long to read for each repair is not tried."""
    source = view.document.source
    if len(source.text) > _LONG:
        return False
    try:
        after = read_text(Source(source.name, applied(source.text, fix.edits)))
    except UnreadableError:
        return False
    return proved(view.score, after.score, (fix,))


def close_bar(view: View, doubt: UnclosedBar) -> tuple[Fix, ...]:
    """A bar line on every row where a system has none at its beginning or end; rows that stop short are
    filled up to it. None where some rows have one."""
    page = view.document.page
    if page is None:
        return ()
    system, _ = row_at(page, doubt.span.start)
    last = doubt.last
    if any("|" in (row.body[-1:] if last else row.body[:1]) for row in system.rows):
        return ()
    end = max(row.end for row in system.rows)
    edits = tuple(
        _edit(view.document.source, row, Change(at, at, filler + "|"))
        for row in system.rows
        for at, filler in [(row.end, "-" * (end - row.end)) if last else (row.start, "")]
    )
    side, which = ("after", "last") if last else ("before", "first")
    # Between two systems a line may have been cut: its bar goes on in the next one.
    outer = page.systems[-1] if last else page.systems[0]
    return (Fix(edits, f"draw a bar line {side} the {which} bar on every string", system is outer),)


def row_at(page: Page, offset: int) -> tuple[System, int]:
    """The system that a place of the text lies in, and the index of its row."""
    at = bisect_right(page.systems, offset, key=lambda system: system.rows[0].line.offset) - 1
    system = page.systems[max(at, 0)]
    number = bisect_right(system.rows, offset, key=lambda row: row.line.offset) - 1
    return system, max(number, 0)


def _changes(page: Page, system: System, number: int) -> list[Change]:
    """What to change in a row so that it is drawn like the others; nothing where that is not certain."""
    rows = system.rows
    others = [row for index, row in enumerate(rows) if index != number]
    drawn = Counter(_drawn(row) for row in others)
    (usual, votes), *_ = drawn.most_common(1)
    if 2 * votes <= len(others) or _drawn(rows[number]) == usual or not usual.strokes:
        return []
    like = [row for row in others if _drawn(row) == usual]
    if rows[number].start != like[0].start:
        return _named(page, system, number, like[0].start)
    found = _stroke(rows[number], usual) or _short_end(rows[number], usual, like)
    return [found] if found is not None else _levelled(rows[number], usual, like)


def _named(page: Page, system: System, number: int, width: int) -> list[Change]:
    """A label that is missing or spoilt, as the same string has it in a system with the same other labels."""
    heads = [row.line.text[:width] for row in system.rows]
    text = system.rows[number].line.text
    stroke = text.find("|", text.startswith("||"))
    for other in page.systems:
        names = [row.line.text[: row.start] for row in other.rows]
        alike = len(names) == len(heads) and all(
            name == head
            for index, (name, head) in enumerate(zip(names, heads, strict=True))
            if index != number
        )
        if other is not system and alike and 0 <= stroke <= width + 1:
            return [Change(0, stroke, names[number])]
    return []


def _drawn(row: Row) -> _Drawn:
    text = row.line.text
    return _Drawn(tuple(at for at in range(row.start, row.end) if text[at] == "|"), row.end)


def _stroke(row: Row, usual: _Drawn) -> Change | None:
    """A bar line that one slip took out, put in, or put another character for."""
    own, text = _drawn(row), row.line.text
    longer = own.end - usual.end
    if len(own.strokes) == len(usual.strokes) - 1 and longer in (0, -1):
        for index, at in enumerate(usual.strokes):
            rest = (*usual.strokes[:index], *(stroke + longer for stroke in usual.strokes[index + 1 :]))
            if own.strokes == rest and (longer or text[at] in "- "):
                return Change(at, at + 1 + longer, "|")
    if len(own.strokes) == len(usual.strokes) + 1 and longer in (0, 1):
        for index, at in enumerate(own.strokes):
            rest = (*own.strokes[:index], *(stroke - longer for stroke in own.strokes[index + 1 :]))
            if rest == usual.strokes:
                return Change(at, at + 1, "" if longer else "-")
    return None


def _short_end(row: Row, usual: _Drawn, like: Sequence[Row]) -> Change | None:
    """A row that stops before its end: filled up as the others are drawn there."""
    own = _drawn(row)
    count = len(own.strokes)
    if count == len(usual.strokes) or own.strokes != usual.strokes[:count] or own.end > usual.strokes[count]:
        return None
    return Change(own.end, own.end, "".join(_commonest(like, at) for at in range(own.end, usual.end)))


def _commonest(rows: Sequence[Row], column: int) -> str:
    sign = Counter(row.line.text[column] for row in rows).most_common(1)[0][0]
    return sign if sign in "|:" else "-"


def _levelled(row: Row, usual: _Drawn, like: Sequence[Row]) -> list[Change]:
    """Filler put in or taken out in the bars whose width is another than on the other rows; all of them or
    none."""
    own = _drawn(row)
    if len(own.strokes) != len(usual.strokes) or own.strokes[0] != usual.strokes[0]:
        return []
    mine, theirs = _bars(row, own), [_bars(other, usual) for other in like]
    good = [text for bars in theirs for text in bars]
    good += [text for text, other in zip(mine, theirs[0], strict=True) if len(text) == len(other)]
    found = []
    for index, (stroke, text) in enumerate(zip(own.strokes, mine, strict=True)):
        difference = len(theirs[0][index]) - len(text)
        if difference:
            same_bar = [bars[index] for bars in theirs]
            change = _dots(text, same_bar) if difference == 1 else None
            change = change or level(text, difference, evidence(same_bar, good))
            if change is None:
                return []
            at = stroke + 1
            found.append(Change(change.start + at, change.end + at, change.text))
    return found


def _dots(text: str, others: Sequence[str]) -> Change | None:
    """Repeat dots that all the other rows have beside a bar line."""
    if not text.startswith(":") and all(other.startswith(":") for other in others):
        return Change(0, 0, ":")
    if not text.endswith(":") and all(other.endswith(":") for other in others):
        return Change(len(text), len(text), ":")
    return None


def _bars(row: Row, drawn: _Drawn) -> list[str]:
    """The texts behind every bar line, to the next or to the end."""
    return [row.line.text[start + 1 : end] for start, end in pairwise((*drawn.strokes, drawn.end))]


def _edit(source: Source, row: Row, change: Change) -> Edit:
    """The change in the characters of the file, with the filler that the row has there."""
    at = row.line.text.find("-", row.start)
    filler = source.text[row.line.at(at)] if at >= 0 else "-"
    return Edit(row.line.span(change.start, change.end), change.text.replace("-", filler))


def _message(row: Row, changes: Sequence[Change]) -> str:
    return f"on {row_name(row.label)} " + ", ".join(_told(row, change) for change in changes)


def _told(row: Row, change: Change) -> str:
    column = change.start + 1
    if not change.text:
        return f'take "{row.line.text[change.start : change.end]}" out at column {column}'
    if change.end > change.start:
        return f'write "{change.text}" at column {column}'
    return f'put "{change.text}" in at column {column}'


def _keeps_columns(system: System, number: int, changes: Sequence[Change]) -> bool:
    """Whether the row with its changes is read as the same notes in the same columns of the same bars."""
    row = system.rows[number]
    text = row.line.text
    for change in sorted(changes, reverse=True):
        text = text[: change.start] + change.text + text[change.end :]
    mended = read_row(row.line._replace(text=text, columns=None))
    if mended is None:
        return False
    rows = (*system.rows[:number], mended, *system.rows[number + 1 :])
    return _read(system) == _read(system._replace(rows=rows))


def _read(system: System) -> object:
    """The bars of a system with the notes of each column, wherever they stand in the file."""
    bars, _ = read_bars(system)
    return [
        (bar.opens, bar.closes, bar.end - bar.start)
        + tuple(
            (
                column.column - bar.start,
                placed.row,
                placed.fret,
                placed.techniques,
                placed.tied,
            )
            for column in bar.columns
            for placed in column.notes
        )
        for bar in bars
    ]
