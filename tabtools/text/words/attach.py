"""The lines around a system to the bars and notes they belong to, by column."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from typing import cast

from tabtools.score import Technique, TimeSignature
from tabtools.source import Span
from tabtools.text.page.kinds import ReadLine, Token
from tabtools.text.page.layout import System
from tabtools.text.page.marks import ARTICULATIONS, IGNORED, Marks, marks_for
from tabtools.text.patterns import lazy
from tabtools.text.rows.amounts import BEND_SIZES
from tabtools.text.rows.columns import Column, RawBar
from tabtools.text.words.annotations import (
    PASS,
    repeat_beside,
    repeat_count,
    section_name,
)
from tabtools.text.words.fingers import give_fingers

_BENDS = ("bend", "bend-release", "prebend", "prebend-release")
_REACH = 3
# How far a row of marks may hang left or right of its notes, and from how many that stand right on one.
_SHIFTS = (0, 1, -1, 2, -2)
_FEWEST_HITS = 2
# The dead notes of a rake stand no further apart.
_SWEEP = 3
# What a mark reaches over: a line, or a row of dots that is more than the stop of an abbreviation.
_STROKE = lazy(r"[-~_]$|[. ]\.$")
# Signs of which each stands for one damped note.
_DOTS = (".", "_", "m")
_PROSE = ("words", "direction", "piece", "legend", "lyrics")
_THREE = "3"
# Stems, flags and beams drawn over or under the notes.
_STEMS = lazy(r"(?=[^|]*\|[^|]*\|)[|\\/oO_=.'’()\s]+")
# Note values as numbers, an eighth or a dot among them: fingers have neither.
_VALUES = lazy(r"(?=.*(?:\b8|\b16|\d\.))(?:\s*(?:1|2|4|8|16|32)\.{0,2}(?!\S))+\s*")
_UNITS = ("1", "2", "4", "8", "16", "32")


class Attached:
    """What the lines around one system say, by index of the bar in the system; columns are the page's.
    ``unread`` are the bars over or under which signs for their rhythm stand that nobody here can read."""

    def __init__(self) -> None:
        self.chords: dict[int, list[tuple[int, str, Span]]] = {}
        self.words: dict[int, list[tuple[int, str, Span]]] = {}
        self.letters: dict[int, list[tuple[int, str]]] = {}
        self.counts: dict[int, list[tuple[int, str]]] = {}
        self.brackets: dict[int, list[tuple[int, int]]] = {}
        self.unread: set[int] = set()
        self.times: dict[int, TimeSignature] = {}
        self.endings: dict[int, int] = {}
        self.section: str | None = None
        self.part: str | None = None
        self.passes = 0


def _named(annotation: ReadLine, marks: Marks) -> ReadLine:
    """The marks of a line with the names of their techniques; lone dots, strokes and m say palm mute."""
    tokens = annotation.tokens
    dots = len(tokens) > 0 and all(token.text in _DOTS for token in tokens)
    return annotation._replace(
        tokens=tuple(
            token._replace(text=marks.above.get(token.text, "palm-mute" if dots else token.text))
            for token in tokens
        )
    )


def _numbers_bars(annotation: ReadLine, bars: list[RawBar]) -> bool:
    """Whether what looks like counts numbers the bars: one number for each, and no more."""
    if annotation.kind != "counts" or len(bars) < 2:
        return False
    stand = [bar_at(bars, token.start) for token in annotation.tokens]
    numbers = [token.text for token in annotation.tokens]
    return stand == list(range(len(bars))) and numbers == [str(number) for number in range(1, len(bars) + 1)]


def attach(system: System, bars: list[RawBar], marks: Marks | None = None) -> Attached:
    """Give every word above and below a system to its bar, and technique marks to the notes under them."""
    found = Attached()
    threes: list[int] = []
    known = marks or marks_for()
    for above, annotation in _lines(system):
        line = annotation.line
        if not bars and annotation.kind not in ("section", "part", "times"):
            continue
        if annotation.kind in ("marks", "amounts"):
            if not (above and "." not in known.above and set(line.text) <= {".", " "}):
                _mark(_named(annotation, known), bars)
        elif annotation.kind == "fingers":
            give_fingers([(token.text, token.start) for token in annotation.tokens], bars)
        elif annotation.kind == "section":
            found.section = annotation.tokens[0].text
            found.passes = found.passes or passes_of(annotation)
        elif annotation.kind == "part":
            found.part = annotation.tokens[0].text
        elif annotation.kind == "times":
            found.passes = repeat_count(line.text) or 0
        elif annotation.kind == "chords":
            if _are_strokes(annotation, bars):
                continue
            found.passes = found.passes or repeat_beside(line.text) or 0
            for match in PASS.finditer(line.text):
                found.endings[bar_at(bars, match.start())] = int(match["pass"])
            _by_column(found, annotation, bars)
        elif annotation.kind in _PROSE and {token.text for token in annotation.tokens} == {_THREE}:
            threes += [token.start for token in annotation.tokens]
        elif annotation.kind in _PROSE and (_STEMS.fullmatch(line.text) or _VALUES.fullmatch(line.text)):
            found.unread |= {bar_at(bars, token.start) for token in annotation.tokens}
        elif annotation.kind in _PROSE:
            _words(found, annotation, bars, above=above)
        elif _numbers_bars(annotation, bars):
            continue
        else:
            _by_column(found, annotation, bars)
    for column in threes:
        _bracket(found, bars, column, lone=len(threes) == 1)
    for row in system.rows:
        if row.remark:
            found.passes = found.passes or repeat_count(row.remark) or 0
    return found


def _bracket(found: Attached, bars: list[RawBar], column: int, *, lone: bool) -> None:
    """A 3 over the middle one of three letters, or of three notes alike in a page with several such, makes
    them a triplet."""
    index = bar_at(bars, column)
    letters = sorted(at for at, _ in found.letters.get(index, ()))
    places = letters or ([] if lone else [struck.column for struck in bars[index].columns])
    for left, middle, right in zip(places, places[1:], places[2:], strict=False):
        alike = letters or middle - left == right - middle
        if abs(middle - column) <= 1 and alike:
            found.brackets.setdefault(index, []).append((left, right))
            return


def _are_strokes(annotation: ReadLine, bars: list[RawBar]) -> bool:
    """Whether a row of D says strokes, down with every one: several over one bar, each over its notes."""
    if {token.text for token in annotation.tokens} != {"D"}:
        return False
    over = [bar_at(bars, token.start) for token in annotation.tokens]
    struck = {column.column + by for bar in bars for column in bar.columns for by in (-1, 0, 1)}
    return len(set(over)) < len(over) and all(token.start in struck for token in annotation.tokens)


def passes_of(line: ReadLine) -> int:
    """The number of passes that a line says, or 0."""
    return cast("int", line.fact("passes") or 0)


def _lines(system: System) -> Iterator[tuple[bool, ReadLine]]:
    yield from ((True, line) for line in system.above)
    yield from ((False, line) for line in system.below)


def bar_at(bars: list[RawBar], column: int) -> int:
    """The index of the bar that a column lies in; the first for columns left of all bars."""
    return max(bisect_right(bars, column, key=lambda bar: bar.start - 1) - 1, 0)


def _by_column(found: Attached, annotation: ReadLine, bars: list[RawBar]) -> None:
    for token in annotation.tokens:
        index = bar_at(bars, token.start)
        if annotation.kind == "chords":
            span = annotation.line.span(token.start, token.end)
            found.chords.setdefault(_hung(bars, index, token), []).append((token.start, token.text, span))
        elif annotation.kind == "tuplets" or (annotation.kind == "letters" and token.text.isdigit()):
            found.brackets.setdefault(index, []).append((token.start, token.end - 1))
        elif annotation.kind == "letters":
            found.letters.setdefault(index, []).append((token.start, token.text))
        elif annotation.kind == "counts":
            found.counts.setdefault(index, []).append((token.start, token.text))
        elif annotation.kind == "endings":
            found.endings[_hung(bars, index, token)] = int(token.text)


def _hung(bars: list[RawBar], index: int, token: Token) -> int:
    """A chord name, or the number of an ending, right before a bar line that no note of its bar follows
    belongs to the next bar."""
    bar = bars[index]
    last = bar.columns[-1].column if bar.columns else bar.start
    early = index + 1 < len(bars) and token.start > last and bar.end - token.start <= 2
    return index + 1 if early else index


def _words(found: Attached, annotation: ReadLine, bars: list[RawBar], *, above: bool) -> None:
    """Remarks over a system; below it stand lyrics and the like, which the score does not hold."""
    for token in annotation.tokens:
        name = section_name(token.text) if token.text[0] == "[" and token.start < bars[0].start else None
        if above and name:
            found.section = name
            continue
        index = bar_at(bars, token.start)
        beats, _, unit = token.text.partition("/")
        if beats.isdecimal() and len(beats) < 3 and unit in _UNITS and int(beats):
            found.times[index] = TimeSignature(int(beats), int(unit))
        elif above:
            span = annotation.line.span(token.start, token.end)
            found.words.setdefault(index, []).append((token.start, token.text, span))


def _mark(annotation: ReadLine, bars: list[RawBar]) -> None:
    columns = [column for bar in bars for column in bar.columns]
    lone = [token for token in annotation.tokens if _is_lone(annotation, token)]
    shift = _hanging(columns, lone)
    for token in annotation.tokens:
        if token.text in BEND_SIZES:
            _size_bend(columns, token)
            continue
        if token.text == IGNORED or token.text in ARTICULATIONS:
            continue
        if token in lone:
            under = _nearest(columns, token, shift)
            if token.text == "rake":
                under = _swept(columns, under)
        else:
            under = _between(columns, token.start, token.end)
        for column in under:
            _add(column, Technique(token.text))


def _is_lone(annotation: ReadLine, token: Token) -> bool:
    """Whether a mark has no stroke that reaches over several notes."""
    return _STROKE.search(annotation.line.text, token.start, token.end) is None


def _hanging(columns: list[Column], lone: list[Token]) -> int:
    """How many columns a row of marks stands left of its notes: none, unless most of them are then right."""
    notes = {column.column for column in columns}
    hits = {shift: sum(token.start + shift in notes for token in lone) for shift in _SHIFTS}
    best = max(_SHIFTS, key=lambda shift: (hits[shift], -abs(shift)))
    return best if hits[best] > _FEWEST_HITS and 4 * hits[best] >= 3 * len(lone) else 0


def _nearest(columns: list[Column], token: Token, shift: int) -> list[Column]:
    """The column of notes that a mark without a stroke stands over; none when it stands over nothing."""
    near = _between(columns, token.start + shift - 1, token.end + shift + 1)
    return sorted(near, key=lambda column: abs(column.column - token.start - shift))[:1]


def _swept(columns: list[Column], under: list[Column]) -> list[Column]:
    """The dead notes of a rake, which go over neighbouring strings one close behind the other, from one of
    them on."""
    if not under or _dead_row(under[0]) is None:
        return under
    found = list(under)
    for column in columns[columns.index(found[0]) + 1 :]:
        before, row = _dead_row(found[-1]), _dead_row(column)
        close = column.column - found[-1].column <= _SWEEP
        if not close or before is None or row is None or abs(row - before) != 1:
            break
        found.append(column)
    return found


def _dead_row(column: Column) -> int | None:
    """The row of a dead note that stands alone; None for other columns."""
    note = column.notes[0]
    return note.row if len(column.notes) == 1 and note.fret is None else None


def _between(columns: list[Column], start: int, end: int) -> list[Column]:
    """The columns of notes from ``start`` up to ``end``, that one not included; a bracket counts."""
    first, last = (bisect_left(columns, place, key=lambda column: column.column) for place in (start, end))
    while last < len(columns) and min(placed.start for placed in columns[last].notes) < end:
        last += 1
    return columns[first:last]


def _add(column: Column, technique: Technique) -> None:
    for placed in column.notes:
        if all(technique.name != own.name for own in placed.techniques):
            placed.techniques.append(technique)


def _size_bend(columns: list[Column], token: Token) -> None:
    """An amount over the strings belongs to the nearest bend that says no size itself."""
    open_bends = [
        (abs(column.column - token.start), column.column, placed.techniques, index)
        for column in _between(columns, token.start - _REACH, token.start + _REACH + 1)
        for placed in column.notes
        for index, technique in enumerate(placed.techniques)
        if technique.name in _BENDS and technique.value is None
    ]
    if open_bends:
        _, _, techniques, index = min(open_bends, key=lambda bend: bend[:2])
        techniques[index] = Technique(techniques[index].name, BEND_SIZES[token.text])
