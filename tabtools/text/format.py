"""The same page in canonical layout: bars laid out in proportion to time, everything else left alone.

A system is rewritten only when all of it was understood, and the page only when reading it again gives the
same music; what is not rewritten stays byte for byte.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise, zip_longest

from tabtools.score import Quarters, Score
from tabtools.source import Source
from tabtools.text.annotations import classify
from tabtools.text.columns import RawBar
from tabtools.text.layout import Row
from tabtools.text.moving import moved, room
from tabtools.text.reader import score_of
from tabtools.text.rhythm import EVEN, Timing
from tabtools.text.spacing import BarText, Cell, Placed, Slot, place, render
from tabtools.text.systems import ReadSystem, read_page

_SLIDES = ("/", "\\")
_BLANK = str.maketrans("", "", "- ")


@dataclass(frozen=True, slots=True)
class Formatted:
    """The text of a page in canonical layout. ``left`` are the systems that stay as they are: the line of
    the first row, and why."""

    text: str
    left: tuple[tuple[int, str], ...] = ()


@dataclass(frozen=True, slots=True)
class _Bar:
    """One bar before and after: where it starts on the page, and its new layout."""

    raw: RawBar
    text: BarText
    placed: Placed


def format_text(source: Source) -> Formatted:
    """The whole text of a page with its systems in canonical layout.

    A system stays as it is when something in it is doubtful, or when it would not read as the same music
    afterwards. Raises UnreadableError when the text holds no tab.
    """
    read = read_page(source)
    systems = [system for part in read.parts for system in part]
    left = {number: why for number, system in enumerate(systems) if (why := _obstacle(source, system))}
    before = score_of(read)
    while True:
        lines = _lay_out(source, [system for number, system in enumerate(systems) if number not in left])
        text = _with_lines(source, lines)
        changed = _changed(source, text, before, systems)
        if not changed:
            break
        # Where only systems that stay read otherwise, any of the others may be the reason.
        blamed = changed - left.keys() or set(range(len(systems)))
        left = dict.fromkeys(blamed, "another layout would change how it reads") | left
    places = {
        system.system.rows[0].line.number: left[number]
        for number, system in enumerate(systems)
        if number in left
    }
    return Formatted(text, tuple(sorted(places.items())))


def _lay_out(source: Source, systems: Sequence[ReadSystem]) -> dict[int, str]:
    """The new lines of these systems by line number."""
    texts = [_bar_texts(system) for system in systems]
    placed = iter(_place_all(systems, [text for bars in texts for text in bars]))
    lines: dict[int, str] = {}
    for system, bars in zip(systems, texts, strict=True):
        laid = [_Bar(raw, text, next(placed)) for raw, text in zip(system.bars, bars, strict=True)]
        lines.update(_rewrite(source, system, laid))
    return lines


def _changed(source: Source, text: str, before: Score, systems: Sequence[ReadSystem]) -> set[int]:
    """The systems whose music is no longer the same; all of them when that cannot be told one by one."""
    if text == source.text:
        return set()
    after = score_of(read_page(Source(source.name, text, source.encoding, source.bom)))
    if music(replace(before, parts=())) != music(replace(after, parts=())):
        return set(range(len(systems)))
    owners = [number for number, system in enumerate(systems) for _ in system.bars]
    old = [bar for part in before.parts for bar in part.bars]
    new = [bar for part in after.parts for bar in part.bars]
    if len(old) != len(new) or [part.instrument.tuning for part in before.parts] != [
        part.instrument.tuning for part in after.parts
    ]:
        return set(range(len(systems)))
    pairs = zip(owners, old, new, strict=True)
    return {owner for owner, bar, other in pairs if music(bar) != music(other)}


def music(score: object) -> object:
    """A score without the places that its parts were read from and how sure each reading is."""
    if isinstance(score, tuple):
        return tuple(music(item) for item in score)
    fields = getattr(score, "__dataclass_fields__", None)
    if fields is None:
        return score
    return (
        type(score).__name__,
        *(music(getattr(score, name)) for name in fields if name not in ("span", "spans", "inferred")),
    )


def _obstacle(source: Source, system: ReadSystem) -> str | None:
    """Why a system may not be rewritten; None where it may."""
    if not system.bars:
        return "it has no bars"
    if system.doubts:
        return "not everything in it is certain: see the findings of check"
    lines = [row.line for row in system.system.rows] + [*system.system.above, *system.system.below]
    if any(len(line.text) != len(source.line(line.number)) for line in lines):
        return "tab characters, colour codes or line numbers would have to go first"
    tokens = [_bar_tokens(row, number, system.bars) for number, row in enumerate(system.system.rows)]
    if any(len(set(map(len, column))) > 1 for column in zip(*tokens, strict=True)):
        return "its bar lines are not drawn alike on every string"
    return None


def _bar_tokens(row: Row, number: int, bars: Sequence[RawBar]) -> list[str]:
    """The bar lines of a row: before the first bar, between bars, after the last."""
    text = row.line.text
    bounds = [bar.bounds[number] for bar in bars]
    inner = [text[left[1] : right[0]] for left, right in pairwise(bounds)]
    return [text[row.start : bounds[0][0]], *inner, text[bounds[-1][1] : row.end]]


def _bar_texts(system: ReadSystem) -> list[BarText]:
    lines = [classify(line) for line in (*system.system.above, *system.system.below)]
    bars = system.bars
    rooms = [
        max((room(raw, after, line) for line in lines), default=0)
        for raw, after in zip_longest(bars, bars[1:])
    ]
    return [
        _bar_text(system, raw, timing, time.length, room)
        for raw, timing, time, room in zip(bars, system.timings, system.times, rooms, strict=True)
    ]


def _bar_text(system: ReadSystem, raw: RawBar, timing: Timing, length: Quarters, room: int) -> BarText:
    """The cells of a bar, cut from the characters of its rows."""
    onsets = iter(timing.onsets)
    cells = {
        (cell.row, column): cell
        for number, row in enumerate(system.system.rows)
        for column, cell in _cells(row, number, raw)
    }
    slots = tuple(
        Slot(
            None if column.grace else next(onsets),
            tuple(cells[placed.row, placed.note.column] for placed in column.notes),
        )
        for column in raw.columns
    )
    total = timing.onsets[-1] + timing.durations[-1] if timing.onsets else length
    return BarText(slots, total if timing.pickup else max(total, length), room)


def _cells(row: Row, number: int, raw: RawBar) -> Iterator[tuple[int, Cell]]:
    """The cells of one row of a bar with the columns of their first digits."""
    text = row.line.text
    notes = [placed.note for column in raw.columns for placed in column.notes if placed.row == number]
    done, end = raw.bounds[number]
    for index, note in enumerate(notes):
        lead = text[done : note.start].translate(_BLANK)
        joins = lead in _SLIDES and any(technique.name == "slide" for technique in note.techniques)
        last = index == len(notes) - 1
        trail = text[note.end : note.stop] + (text[note.stop : end].translate(_BLANK) if last else "")
        inset = note.column - note.start
        core = text[note.start : note.end]
        yield note.column, Cell(number, core, "" if joins else lead, trail, lead if joins else "", inset)
        done = note.stop


def _place_all(systems: Sequence[ReadSystem], texts: Sequence[BarText]) -> list[Placed]:
    """New columns for the bars whose rhythm is known; bars of even notes by default keep their own, since
    their spacing is all that is known of them."""
    raws = [raw for system in systems for raw in system.bars]
    timings = [timing for system in systems for timing in system.timings]
    known = iter(
        place([text for text, timing in zip(texts, timings, strict=True) if timing.inferred != EVEN])
    )
    return [
        _as_it_stands(raw) if timing.inferred == EVEN else next(known)
        for raw, timing in zip(raws, timings, strict=True)
    ]


def _as_it_stands(raw: RawBar) -> Placed:
    return Placed(tuple(column.column - raw.start for column in raw.columns), raw.end - raw.start)


def _rewrite(source: Source, system: ReadSystem, bars: Sequence[_Bar]) -> Iterator[tuple[int, str]]:
    """The new lines of a system by line number."""
    for number, row in enumerate(system.system.rows):
        tokens = _bar_tokens(row, number, system.bars)
        text = row.line.text[: row.start]
        for token, bar in zip(tokens, bars, strict=False):
            text += token + render(bar.text, bar.placed, number)
        yield row.line.number, text + tokens[-1] + row.line.text[row.end :]
    anchors = _anchors(system, bars)
    for line in (*system.system.above, *system.system.below):
        yield line.number, moved(classify(line), source.line(line.number), system.bars, anchors)


def _anchors(system: ReadSystem, bars: Sequence[_Bar]) -> dict[int, int]:
    """Old columns of notes and bar lines with their new ones."""
    row = system.system.rows[0]
    tokens = _bar_tokens(row, 0, system.bars)
    anchors = {row.start: row.start}
    at = row.start
    for token, bar in zip(tokens, bars, strict=False):
        at += len(token)
        anchors[bar.raw.start] = at
        for column, new in zip(bar.raw.columns, bar.placed.columns, strict=True):
            anchors[column.column] = at + new
        at += bar.placed.width
        anchors[bar.raw.end] = at
    return anchors


def _with_lines(source: Source, lines: dict[int, str]) -> str:
    """The source's text with whole lines replaced, line ends kept."""
    pieces: list[str] = []
    done = 0
    for number in sorted(lines):
        start = source.line_starts[number - 1]
        pieces += (source.text[done:start], lines[number])
        done = start + len(source.line(number))
    return "".join((*pieces, source.text[done:]))
