"""Repairs of which string is which: lines turned round, silent strings drawn, names made those of the header.

The first leaves every note on its string. The others are asked for: a line that is left out may be one that
was lost, and the header may be what is wrong.
"""

from __future__ import annotations

import re

from tabtools.doubts import (
    LowestOnTop,
    RowLost,
    StringsExchanged,
    StringsLeftOut,
    TuningDisagrees,
    TwoInstruments,
)
from tabtools.lint.finding import Edit, Fix
from tabtools.lint.repairs import row_at
from tabtools.lint.view import View
from tabtools.score import Instrument
from tabtools.source import Source, Span
from tabtools.text.page.header_words import LOW_ON_TOP
from tabtools.text.page.layout import Page, System
from tabtools.text.words.fingers import finger_words
from tabtools.text.writing.tunings import row_labels

# What an empty string shows of its neighbour: bar lines, and the dots of a repeat beside them.
_PLAYED = re.compile(r"(?<!\|):(?!\|)|[^|:]")


def turn_round(view: View, doubt: LowestOnTop | TwoInstruments | StringsExchanged) -> tuple[Fix, ...]:
    """The lines of a system that stands upside down in the other order; none where words of the page speak of
    this one, or fingers stand below it from the top line down."""
    page, source = view.document.page, view.document.source
    if page is None or not isinstance(
        doubt, LowestOnTop
    ):  # of other orders nobody knows which lines are meant
        return ()
    system, _ = row_at(page, doubt.span.start)
    spoken = any(LOW_ON_TOP.search(line.text) for line in page.lines)
    if spoken or any(list(finger_words(line.text)) for line in system.below):
        return ()
    if not all(row.label and row.line.columns is None for row in system.rows):
        return ()
    orders = {tuple(row.label for row in other.rows) for other in page.systems}
    if len(orders) > 1:  # it may as well be two lines that were exchanged here
        return ()
    numbers = [row.line.number for row in system.rows]
    edits = tuple(
        Edit(_whole(source, number), source.line(other))
        for number, other in zip(numbers, reversed(numbers), strict=True)
        if number != other
    )
    return (Fix(edits, "turn the lines of this system round", True),)


def draw_silent(view: View, doubt: StringsLeftOut | RowLost) -> tuple[Fix, ...]:
    """Lines of filler for the strings that a system leaves out, where it leaves a gap between two that it
    draws, or other systems of the page draw all. None where nothing tells which string is missing."""
    page = view.document.page
    if page is None or isinstance(doubt, RowLost):
        return ()
    system, _ = row_at(page, doubt.span.start)
    instrument = _instrument(view, system)
    drawn = list(doubt.drawn)
    if instrument is None or len(drawn) != len(system.rows) or not _plain_gap(page, drawn, instrument):
        return ()
    if len({(row.start, row.end) for row in system.rows}) > 1 or any(r.line.columns for r in system.rows):
        return ()
    names = [name.strip() for name in row_labels(instrument)]
    edits = _lines_for(view.document.source, system, drawn, names)
    missing = len(names) - len(drawn)
    what = "a line for the string" if missing == 1 else f"{missing} lines for the strings"
    return (Fix(edits, f"draw {what} that nothing is played on", False),) if edits else ()


def name_as_header(view: View, doubt: TuningDisagrees) -> tuple[Fix, ...]:
    """The name that the header gives the string in the place of the label."""
    page, source = view.document.page, view.document.source
    label, note = doubt.label, doubt.note
    if page is None:
        return ()
    system, number = row_at(page, doubt.span.start)
    row = system.rows[number]
    at = row.line.text.find(label)
    if row.line.columns is not None or not 0 <= at < row.start:
        return ()
    width = len(label)
    if source.text[row.line.at(at + width)] == " ":
        width = max(width, len(note))
    name = note.lower() if label.islower() else note
    edit = Edit(row.line.span(at, at + width), name.ljust(width))
    return (Fix((edit,), f"call the line {name}, as the header does", False),)


def _whole(source: Source, number: int) -> Span:
    start = source.line_starts[number - 1]
    return Span(start, start + len(source.line(number)))


def _instrument(view: View, system: System) -> Instrument | None:
    """The instrument whose bars lie in a system."""
    line = system.rows[0].line
    end = line.offset + len(line.text)
    for part in view.score.parts:
        for bar in part.bars:
            if bar.spans and line.offset <= bar.spans[0].start <= end:
                return bar.instrument or part.instrument
    return None


def _plain_gap(page: Page, drawn: list[int], instrument: Instrument) -> bool:
    within = drawn[-1] - drawn[0] + 1 > len(drawn)
    return within or any(len(system.rows) == len(instrument.tuning) for system in page.systems)


def _lines_for(source: Source, system: System, drawn: list[int], names: list[str]) -> tuple[Edit, ...]:
    """The lines that are put in, string 1 on top; none where the labels are not those names."""
    rows = dict(zip(drawn, system.rows, strict=True))
    if any(row.label.upper() != names[number - 1].upper() for number, row in rows.items()):
        return ()
    model = system.rows[0]
    end = source.text[_whole(source, model.line.number).end :]
    newline = next((end[: len(sign)] for sign in ("\r\n", "\n", "\r") if end.startswith(sign)), "")
    head, body = model.line.text[: model.start], _PLAYED.sub("-", model.body)
    edits: list[Edit] = []
    for number, name in enumerate(names, 1):
        if number in rows:
            continue
        below = next((rows[at] for at in range(number + 1, len(names) + 1) if at in rows), None)
        text = head.replace(model.label, name.rjust(len(model.label)), 1) + body
        if len(text) != model.end or not newline:
            return ()
        if below is not None:
            place = below.line.offset
            edits.append(Edit(Span(place, place), text + newline))
        else:
            place = _whole(source, system.rows[-1].line.number).end
            edits.append(Edit(Span(place, place), newline + text))
    return tuple(edits)
