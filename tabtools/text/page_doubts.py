"""What a page as a whole leaves open: what its words say twice, and what they may be meant for."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence

from tabtools.doubts import (
    CapoUnclear,
    Doubt,
    FactUnclear,
    HeaderConflict,
    HOrB,
    LabelsChange,
    LetRingSentence,
    OffGrid,
    RepeatExtent,
    RowLost,
    RowTwice,
    StackedRows,
    UnreadText,
)
from tabtools.record import NamedTuple
from tabtools.source import Span
from tabtools.text.page.clean import Line
from tabtools.text.page.header import Header, header_of
from tabtools.text.page.kinds import ReadLine
from tabtools.text.page.layout import System
from tabtools.text.page.string_names import label_name
from tabtools.text.page.strings import Strings
from tabtools.text.patterns import lazy
from tabtools.text.rows.alignment import JOINING
from tabtools.text.rows.columns import Column, RawBar
from tabtools.text.words.attach import Attached

_RING = lazy(
    r"\blet (?:it|them|everything|all(?: the)?(?: notes| strings)?|(?:the|these|each|every)? ?\w+) ring\b"
    r"|\bring (?:out|on|throughout)\b|klingen lassen|dejar sonar|laisser (?:sonner|r[ée]sonner)"
    r"|lasciare? (?:suonare|vibrare)|deixar soar",
    re.IGNORECASE,
    needs=("ring", "klingen", "dejar", "laisser", "lasciar", "deixar"),
)
LOOKS = (
    "a string row away from its system: put it right below the other rows, with the name of its string "
    "before it and a bar line at its end"
)
_FACTS = ("tuning", "capo", "time", "key", "tempo")
_FEWEST_NOTES = 8
_WHOLE = (4, 6)  # rows that are all the strings of an instrument
# One note in so many may stand beside a grid that the others keep to.
_SLIPS_IN = 25
# The least common multiple of the steps that a grid may have.
_ALL_STEPS = 12


class GridSystem(NamedTuple):
    """A system as far as its columns go: ``lead`` are the columns of its first bar that stand in the system
    before, ``timed`` the indexes of bars whose lengths are written, so that columns need not say them."""

    system: System
    bars: Sequence[RawBar]
    lead: int
    timed: frozenset[int]


def word_doubts(lines: Iterable[ReadLine], first_row: int) -> Iterator[Doubt]:
    """Sentences that ask to let notes ring, and header lines above line ``first_row`` that give another value
    than one before them; the first value counts."""
    values: dict[str, str] = {}
    for line in lines:
        text = line.text
        if "=" not in text and (match := _RING.search(text)):
            yield LetRingSentence(line.line.span(*match.span()), match.group())
        yield from _unclear(line)
        if line.number >= first_row or line.kind != "header":
            continue
        for fact, value in _said(header_of((line,))):
            if values.setdefault(fact, value) != value:
                span = line.line.span(len(text) - len(text.lstrip()), len(text))
                yield HeaderConflict(span, fact, values[fact], value)


def _unclear(line: ReadLine) -> Iterator[Doubt]:
    """The facts of a line that were not understood whole, and a line that is nothing that is known."""
    for fact in line.facts:
        if fact.unread:
            value = fact.value
            understood = getattr(value, "name", str(value)) if value is not None else ""
            if isinstance(value, tuple) and fact.name == "tempo":
                understood = str(value[0])
            yield FactUnclear(line.line.span(fact.start, fact.end), fact.name, understood, fact.unread)
    if line.kind == "unknown":
        text = line.text.strip()
        start = len(line.text) - len(line.text.lstrip())
        yield UnreadText(line.line.span(start, start + len(text)), text[:40], LOOKS)


def _said(header: Header) -> Iterator[tuple[str, str]]:
    strings = tuple(reversed(header.named.strings)) if header.named else header.strings
    letters = " ".join(string.letter for string in strings)
    values = (
        letters,
        header.capo,
        header.time and header.time.name,
        header.key and header.key.name,
        header.tempo and header.tempo.per_minute,
    )
    yield from (
        (fact, str(value)) for fact, value in zip(_FACTS, values, strict=True) if value not in (None, "")
    )


def german_doubts(systems: Iterable[tuple[System, Attached]]) -> Iterator[Doubt]:
    """The first B of a page that also has an H: it may be the German B, a semitone lower."""
    found: dict[str, Span] = {}
    for system, attached in systems:
        for row in system.rows:
            if row.label[:1] in ("H", "h", "B") and len(row.label) == 1:
                found.setdefault(row.label.upper(), row.line.span(row.start, row.start + 1))
        for chords in attached.chords.values():
            for _, name, span in chords:
                if name[0] in "HB" and name[1:2] not in ("b", "#"):
                    found.setdefault(name[0], span)
        if len(found) == 2:
            yield HOrB(found["B"])
            return


def stacking_doubts(before: System, system: System) -> Iterator[Doubt]:
    """Bare rows that go on without a blank line: two systems, or two guitars at once."""
    touching = before.rows[-1].line.number + 1 == system.rows[0].line.number
    if touching and not any(row.label for row in (*before.rows, *system.rows)):
        count = len(before.rows) + len(system.rows)
        yield StackedRows(_start(system), count, len(system.rows))


def label_doubts(before: Sequence[str], labels: Sequence[str], system: System) -> Iterator[Doubt]:
    """Labels that name other strings than those of the system before, though no words tell of a change."""
    if len(before) != len(labels) or len(labels) < 4:
        return
    old, new = ([label_name(label) for label in row] for row in (before, labels))
    for row, one, other in zip(system.rows, old, new, strict=True):
        if one is not None and other is not None and one.letter != other.letter:
            yield LabelsChange(_start_of(row.line, row.start), row.label, one.letter)


def capo_doubt(strings: Strings, systems: Sequence[tuple[System, Sequence[RawBar]]]) -> Iterator[Doubt]:
    """A capo, and no note below it: its writer may count the frets from the nut."""
    capo = strings.instrument.capo
    if not capo:
        return
    frets = [
        placed.fret
        for _, bars in systems
        for bar in bars
        for column in bar.columns
        for placed in column.notes
        if placed.fret is not None
    ]
    if len(frets) >= _FEWEST_NOTES and min(frets) >= capo:
        yield CapoUnclear(_start(systems[0][0]), capo, min(frets))


def grid_doubts(systems: Sequence[GridSystem]) -> Iterator[tuple[int, Doubt]]:
    """Notes that stand between the columns of a grid which nearly all notes of a part keep to: the index of
    the system, and the doubt with the step of the grid."""
    counts = Counter(offset % _ALL_STEPS for one in systems for offset, _ in _free(one))
    total = counts.total()
    if total < _FEWEST_NOTES:
        return
    for step in (4, 3, 2):
        residues = [sum(counts[at] for at in range(first, _ALL_STEPS, step)) for first in range(step)]
        usual = max(range(step), key=residues.__getitem__)
        if 0 < total - residues[usual] <= max(1, total // _SLIPS_IN):
            yield from _beside(systems, step, usual)
        if total - residues[usual] <= max(1, total // _SLIPS_IN):
            return


def _beside(systems: Sequence[GridSystem], step: int, usual: int) -> Iterator[tuple[int, Doubt]]:
    for index, one in enumerate(systems):
        for offset, column in _free(one):
            if offset % step != usual:
                first = column.notes[0]
                span = one.system.rows[first.row].line.span(first.start, first.end)
                yield index, OffGrid(span, step)


def _free(one: GridSystem) -> Iterator[tuple[int, Column]]:
    """The columns of notes that stand where their writer wanted them, with their places in the bar: no grace
    notes, no notes in brackets, and none that a sign joins to another."""
    lead = one.lead
    for index, bar in enumerate(one.bars):
        if index not in one.timed:
            start = bar.start - lead
            before: Column | None = None
            for column in bar.columns:
                taken = _needs_room(column)
                if before is not None and not taken:
                    yield before.column - start, before
                before = None if taken or column.grace else column
            if before is not None:
                yield before.column - start, before
        lead = 0


def _needs_room(column: Column) -> bool:
    """Whether a bracket, or the sign that joins a note to the one before it, takes room of its own."""
    for note in column.notes:
        if note.start < note.column or (note.techniques and any(t.name in JOINING for t in note.techniques)):
            return True
    return False


def repeat_doubts(systems: Sequence[tuple[System, Sequence[RawBar]]]) -> Iterator[tuple[int, Doubt]]:
    """Repeats that end where none began, other than at the beginning of a part: the index of the system, and
    the doubt."""
    opened = True
    for index, (system, bars) in enumerate(systems):
        for bar in bars:
            opened = opened or bar.opens
            if bar.closes and not opened:
                span = system.rows[0].line.span(max(bar.end - 1, 0), bar.end + 1)
                yield index, RepeatExtent(span, 2)
            opened = opened and not bar.closes


def height_doubts(systems: Sequence[System]) -> Iterator[Doubt]:
    """The one system of a page that has a row less or more than all the others, with both numbers. Rows with
    names say themselves which one is missing."""
    heights = [len(system.rows) for system in systems]
    for odd in [index for index, height in enumerate(heights) if heights.count(height) == 1]:
        others = {height for index, height in enumerate(heights) if index != odd}
        if len(others) == 1:
            usual, own, system = others.pop(), heights[odd], systems[odd]
            sure = len(heights) > 2 or usual in _WHOLE
            if own == usual - 1 and sure and not any(row.label for row in system.rows):
                yield RowLost(_start(system), own, usual)
            elif own == usual + 1 and len(heights) > 2 and usual in _WHOLE:
                yield RowTwice(_start(system), own, usual)


def _start(system: System) -> Span:
    return _start_of(system.rows[0].line, system.rows[0].start)


def _start_of(line: Line, column: int) -> Span:
    begin = min(len(line.text) - len(line.text.lstrip()), column)
    return line.span(begin, min(column + 1, len(line.text)))
