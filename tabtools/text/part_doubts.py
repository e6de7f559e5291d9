"""What a part as a whole leaves open about time: letters that leave a note out, a metre no bar keeps."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Literal

from tabtools.doubts import Doubt, LettersBeside, LettersWithoutNote, NotesWithoutLetter, TimeDisagrees
from tabtools.record import NamedTuple
from tabtools.source import Span
from tabtools.text.read import ReadSystem
from tabtools.text.rhythm import spoken
from tabtools.text.rows.columns import RawBar
from tabtools.text.words.values import read_duration

# How the letters of a bar stand to its notes.
_Kind = Literal["full", "bare", "over", "beside"]
_LOOSE = 2  # columns
_FEW = 3  # one bar in so many may be a slip


class _Lettered(NamedTuple):
    """A bar with duration letters: how they stand, the columns that are out of place, and where it is."""

    kind: _Kind
    columns: tuple[int, ...]
    system: ReadSystem
    number: int


def part_doubts(systems: Sequence[ReadSystem]) -> Iterator[Doubt]:
    """The doubts about letters and metre of the systems of one part."""
    yield from _metre_doubt(systems)
    lettered = [bar for system in systems for bar in _lettered_bars(system)]
    full = sum(bar.kind == "full" for bar in lettered)
    for bar in lettered:
        alike = sum(other.kind == bar.kind for other in lettered)
        slip = full > 0 and _FEW * alike <= len(lettered) + _FEW - 1
        unread = bar.kind == "bare" and bar.system.timings[bar.number].inferred is not None
        if bar.kind != "full" and (slip or unread):
            yield _letter_doubt(bar)


def _metre_doubt(systems: Sequence[ReadSystem]) -> Iterator[TimeDisagrees]:
    """The metre of the header, where the bars were read in another one."""
    head = systems[0]
    written = head.header.time
    if written is None or any(system.attached.times for system in systems):
        return
    shown = next((time for system in systems for time in system.times), written)
    if shown != written and head.bars:
        bars = sum(len(system.bars) for system in systems)
        yield TimeDisagrees(_bar_span(head, head.bars[0]), written.name, shown.name, bars)


def _lettered_bars(system: ReadSystem) -> Iterator[_Lettered]:
    for index, bar in enumerate(system.bars):
        words = system.attached.letters.get(index)
        cut = system.continues and index == 0
        if words and not cut and system.timings:
            notes = [column.column for column in bar.columns if not column.grace]
            rests = [column for column, word in words if (read_duration(word) or (0, True))[1]]
            letters = [column for column, _ in words if column not in rests]
            if rests and len(words) == len(notes):
                continue  # a note over a sign for a rest: as many signs as notes all the same
            kind, columns = _standing(letters, [at for at in notes if not _under(rests, at)])
            yield _Lettered(kind, columns, system, index)


def _under(letters: Sequence[int], note: int) -> bool:
    return any(abs(at - note) <= 1 for at in letters)


def _standing(letters: Sequence[int], notes: Sequence[int]) -> tuple[_Kind, tuple[int, ...]]:
    """How letters stand to the notes of their bar, and the columns of those that are out of place."""
    if len(letters) == len(notes):
        apart = [at for at, note in zip(letters, notes, strict=True) if _is_beside(at, note, notes)]
        return ("beside", tuple(apart)) if apart else ("full", ())
    bare = tuple(note for note in notes if not any(abs(at - note) <= 1 for at in letters))
    if bare:
        return "bare", bare
    return "over", tuple(at for at in letters if not any(abs(at - note) <= 1 for note in notes))


def _is_beside(letter: int, note: int, notes: Sequence[int]) -> bool:
    """Whether a letter is more than loosely typed over its note: it is far off, or over another one."""
    return abs(letter - note) > _LOOSE or (abs(letter - note) > 1 and letter in notes)


def _letter_doubt(bar: _Lettered) -> Doubt:
    system, index = bar.system, bar.number
    raw, timing = system.bars[index], system.timings[index]
    if bar.kind == "bare":
        first = next(column for column in raw.columns if column.column == bar.columns[0]).notes[0]
        span = system.system.rows[first.row].line.span(first.start, first.end)
        notes = sum(not column.grace for column in raw.columns)
        reading = spoken(timing.onsets, system.times[index])
        return NotesWithoutLetter(span, len(bar.columns), notes, reading)
    if bar.kind == "over":
        return LettersWithoutNote(_bar_span(system, raw), len(bar.columns))
    return LettersBeside(_bar_span(system, raw), len(bar.columns))


def _bar_span(system: ReadSystem, raw: RawBar) -> Span:
    start, end = raw.bounds[0]
    return system.system.rows[0].line.span(start, max(start, end))
