"""One string row to notes and bar lines, every one with its columns."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from fractions import Fraction
from typing import NamedTuple

from tabtools.score import Technique
from tabtools.techniques import TECHNIQUES

_JOINS = {mark: kind.name for kind in TECHNIQUES for mark in kind.between}
_BEFORE = {mark: kind.name for kind in TECHNIQUES for mark in kind.before}
_AFTER = {mark: kind.name for kind in TECHNIQUES for mark in kind.after}
_AROUND = {pair: kind.name for kind in TECHNIQUES for pair in kind.around}
_CLOSING = dict(_AROUND.keys())
_SIZED = {mark: kind.name for kind in TECHNIQUES if kind.value for mark in kind.after}
_RELEASED = {"bend": "bend-release", "prebend": "prebend-release"}
_RELEASE = "r"
_DEAD = "xX"


def _token_pattern() -> re.Pattern[str]:
    marks = {*_JOINS, *_BEFORE, *_AFTER, *(m for pair in _AROUND for m in pair), _RELEASE, *_DEAD}
    words = "|".join(re.escape(mark) for mark in sorted(marks, key=lambda mark: (-len(mark), mark)))
    return re.compile(rf"(?P<fret>\d+)|(?P<bar>:?\|+:?)|(?P<mark>(?:~+|{words}))|(?P<other>[^-\s]+?)")


_TOKEN = _token_pattern()


@dataclass(slots=True)
class RowNote:
    """One note of a row while it is being read. ``column`` is that of its first digit, ``start`` and
    ``end`` those of its brackets; ``stop`` is where the marks behind it end. ``fret`` is None for a dead
    note."""

    fret: int | None
    column: int
    start: int
    end: int
    stop: int
    techniques: list[Technique] = field(default_factory=list)
    tied: bool = False
    finger: str | None = None


class BarLine(NamedTuple):
    """A bar line: its columns, and whether a repeat begins or ends at it."""

    start: int
    end: int
    opens: bool
    closes: bool


@dataclass(slots=True)
class RowTokens:
    """What a row holds, in order of columns; ``unknown`` are the stretches that nothing explains,
    ``long_numbers`` the digits that cannot be one fret."""

    notes: list[RowNote] = field(default_factory=list)
    bars: list[BarLine] = field(default_factory=list)
    unknown: list[tuple[int, int]] = field(default_factory=list)
    long_numbers: list[tuple[int, int]] = field(default_factory=list)


class _RowLexer:
    """Reads the tokens of one row from left to right."""

    def __init__(self, text: str, start: int, end: int) -> None:
        self.text = text
        self.start = start
        self.end = end
        self.tokens = RowTokens()
        self.last: RowNote | None = None
        self.pending: list[tuple[str, int, int]] = []
        self.target: str | None = None
        self.opened: tuple[str, int] | None = None

    def read(self) -> RowTokens:
        for match in _TOKEN.finditer(self.text, self.start, self.end):
            kind = match.lastgroup
            if kind == "fret":
                self._number(match)
            elif kind == "bar":
                self._bar(match)
            elif kind == "mark":
                self._mark(match.group(), match.start(), match.end())
            else:
                self.tokens.unknown.append(match.span())
        self._flush()
        return self.tokens

    def _number(self, match: re.Match[str]) -> None:
        start, end = match.span()
        pieces = [(0, end - start)]
        if end - start > 2:
            self.tokens.long_numbers.append((start, end))
            pieces = split_digits(match.group())
        for at, width in pieces:
            fret, place = int(match.group()[at : at + width]), start + at
            if self.target is not None and self._touches(place):
                self._hit_target(fret, place + width)
            else:
                self._note(fret, place, place + width)

    def _note(self, fret: int | None, start: int, end: int) -> None:
        self.target = None
        note = RowNote(fret, start, start, end, end)
        if self.opened is not None:
            note.start = self.opened[1]
        for mark, at, stop in self.pending:
            self._apply(note, mark, at, stop)
        self.pending.clear()
        if fret is None:
            note.techniques.append(Technique("dead"))
        self.tokens.notes.append(note)
        self.last = note

    def _apply(self, note: RowNote, mark: str, at: int, stop: int) -> None:
        """A mark between the last note and this one: it joins them, or it belongs to one of them alone."""
        name = _JOINS.get(mark)
        if name == "slide":
            name = self._slide(note, mark, at, stop)
        if name == "slide-out":
            self._slide_out(stop)
        elif name is not None and (self.last is not None or name == "slide-in"):
            note.techniques.append(Technique(name))
        elif mark in _BEFORE:
            self._before(note, _BEFORE[mark])
        else:
            self.tokens.unknown.append((at, stop))

    def _slide_out(self, stop: int) -> None:
        assert self.last is not None
        self.last.techniques.append(Technique("slide-out"))
        self.last.stop = stop

    def _slide(self, note: RowNote, mark: str, at: int, stop: int) -> str:
        """A slide sign at one of two notes, away from the other, goes nowhere; between them it joins."""
        if mark not in _BEFORE:
            return "slide"
        if self.last is None or (note.start == stop and at - self.last.stop > 1):
            return "slide-in"
        return "slide-out" if at == self.last.stop and note.start - stop > 1 else "slide"

    def _before(self, note: RowNote, name: str) -> None:
        if name == "tie":
            note.tied = True
            return
        note.techniques.append(Technique(name))
        if name in _RELEASED:
            self.target = name

    def _mark(self, mark: str, start: int, end: int) -> None:
        touches = self._touches(start)
        if mark in _DEAD:
            self._note(None, start, end)
        elif mark in _CLOSING:
            if self.last is not None and self.target is not None and self._touches(start):
                self.last.stop = end
            self.opened = (mark, start)
        elif self.opened is not None and mark == _CLOSING[self.opened[0]]:
            self._close(end)
        elif mark == _RELEASE and self._is_bent(start):
            self._release(end)
        elif touches and mark in _SIZED:
            self._size(_SIZED[mark], start, end)
        elif touches and mark[0] == "~":
            self._after("vibrato", end)
        elif touches and mark in _AFTER and mark not in _JOINS and not self._leads(mark, end):
            self._after(_AFTER[mark], end)
        elif mark in _JOINS or mark in _BEFORE:
            self.pending.append((mark, start, end))
            self.target = None
        elif mark[0] == "~" and self.last is not None:
            self._after("vibrato", end)
        else:
            self.tokens.unknown.append((start, end))

    def _touches(self, column: int) -> bool:
        return self.last is not None and column == self.last.stop

    def _is_bent(self, column: int) -> bool:
        """Whether the last note is bent and nothing but filler lies between it and a column."""
        if self.last is None or self.text[self.last.stop : column].strip("-"):
            return False
        return bool(self.last.techniques) and self.last.techniques[-1].name in _RELEASED

    def _leads(self, mark: str, end: int) -> bool:
        """Whether a mark that could stand on either side of a fret stands right before one."""
        return mark in _BEFORE and self.text[end : end + 1].isdigit()

    def _after(self, name: str, end: int) -> None:
        assert self.last is not None
        if Technique(name) not in self.last.techniques:
            self.last.techniques.append(Technique(name))
        self.last.stop = end

    def _size(self, name: str, start: int, end: int) -> None:
        """A bend or trill mark after a fret: its target fret may follow and is not a note. A second such
        mark strikes the fret again."""
        assert self.last is not None
        if any(technique.name == name for technique in self.last.techniques):
            self._note(self.last.fret, start, end)
        self.last.techniques.append(Technique(name))
        self.target = name
        self.last.stop = end

    def _release(self, end: int) -> None:
        assert self.last is not None
        bend = self.last.techniques.pop()
        self.last.techniques.append(Technique(_RELEASED[bend.name], bend.value))
        self.target = _RELEASE
        self.last.stop = end

    def _hit_target(self, fret: int, end: int) -> None:
        assert self.last is not None
        if self.target != _RELEASE:
            mark = self.last.techniques.pop()
            size = fret if self.target == "trill" else fret - (self.last.fret or 0)
            self.last.techniques.append(Technique(mark.name, Fraction(size)))
        self.target = None
        self.last.stop = end

    def _close(self, end: int) -> None:
        assert self.opened is not None
        opening, start = self.opened
        self.opened = None
        if self.last is None or self.last.start != start:
            if self.last is not None and self.last.stop == end - 1:
                self.last.stop = end
            return
        self.last.end = self.last.stop = end
        self.last.techniques.append(Technique(_AROUND[opening, _CLOSING[opening]]))

    def _bar(self, match: re.Match[str]) -> None:
        self.target = None
        text = match.group()
        self.tokens.bars.append(BarLine(*match.span(), text.endswith(":"), text.startswith(":")))

    def _flush(self) -> None:
        """Marks that no note followed: slides out to nowhere, else nothing that can be read."""
        for mark, start, end in self.pending:
            if _AFTER.get(mark) == "slide-out" and self.last is not None and start - self.last.stop <= 1:
                self._slide_out(end)
            else:
                self.tokens.unknown.append((start, end))


def read_row_tokens(text: str, start: int, end: int) -> RowTokens:
    """The tokens of columns ``start`` to ``end`` of a clean line."""
    return _RowLexer(text, start, end).read()


def split_digits(digits: str) -> list[tuple[int, int]]:
    """Cut digits that touch into frets of at most 24: (place, width) of each, the cut whose frets lie
    closest together; of equals the one with the fewest frets."""
    readings: list[list[tuple[int, ...]]] = [[()]]
    for end in range(1, len(digits) + 1):
        found: list[tuple[int, ...]] = []
        for width in (1, 2):
            piece = digits[end - width : end] if end >= width else ""
            if piece and int(piece) <= 24 and not (width == 2 and piece[0] == "0"):
                found += [(*reading, width) for reading in readings[end - width]]
        readings.append(sorted(found, key=lambda r: _spread(digits, r))[:8])
    widths = readings[-1][0] if readings[-1] else (1,) * len(digits)
    places = [sum(widths[:index]) for index in range(len(widths))]
    return list(zip(places, widths, strict=True))


def _spread(digits: str, widths: tuple[int, ...]) -> tuple[int, int]:
    frets, at = [], 0
    for width in widths:
        frets.append(int(digits[at : at + width]))
        at += width
    return max(frets) - min(frets), len(frets)
