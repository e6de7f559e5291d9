"""Metre and timing of every bar of a part, a bar that a line break cuts in two being one."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from functools import lru_cache

from tabtools.score import COMMON_TIME, TimeSignature
from tabtools.techniques import BY_NAME
from tabtools.text.read import ReadSystem
from tabtools.text.rhythm import BarColumns, Extent, Timing, read_rhythm, read_said
from tabtools.text.rows.columns import Column, RawBar
from tabtools.text.words.attach import Attached

# So many systems show how a writer begins bars.
_SHOWN = 16


def bar_columns(systems: Sequence[ReadSystem]) -> list[BarColumns]:
    """What the rhythm stage sees of one part: every bar's columns, with the metre in force; a bar cut in two
    is one."""
    return [columns for columns, _ in _columns_and_cuts(systems)]


def _columns_and_cuts(systems: Sequence[ReadSystem]) -> list[tuple[BarColumns, int | None]]:
    """The bars' columns, each with the onsets before the place where a line break cuts it, if one does. Dots
    of repeats take columns of their own, unless the writer puts them where other bars have a hyphen."""
    lead = _lead(systems)
    time, assumed = systems[0].header.time or COMMON_TIME, systems[0].header.time is None
    found: list[tuple[BarColumns, int | None]] = []
    for system in systems:
        for index, bar in enumerate(system.bars):
            if index in system.attached.times:
                time, assumed = system.attached.times[index], False
            own = _bar_columns(_undotted(bar, lead), time, system.attached, index, assumed=assumed)
            if system.continues and index == 0:
                before = found[-1][0]
                found[-1] = _one_bar(before, own), len(before.onsets)
            else:
                found.append((own, None))
    if systems and systems[-1].bars and not systems[-1].bars[-1].closed:
        found[-1] = _as_wide_as_most([columns for columns, _ in found]), found[-1][1]
    return found


def _as_wide_as_most(bars: Sequence[BarColumns]) -> BarColumns:
    """The last bar, which no bar line ends: its width says nothing, and it is as wide as most."""
    usual = Counter(bar.width for bar in bars[:-1] if bar.time == bars[-1].time).most_common(1)
    return bars[-1]._replace(width=max(bars[-1].width, usual[0][0] if usual else 0))


def _lead(systems: Sequence[ReadSystem]) -> int:
    """The fewest columns before the first note of a bar that no dots open."""
    bars = [bar for system in systems[:_SHOWN] for bar in system.bars if bar.columns and not bar.opens]
    return min((bar.columns[0].column - bar.start for bar in bars), default=0)


def _undotted(bar: RawBar, lead: int) -> RawBar:
    """A bar without the columns that only dots of a repeat take."""
    if not bar.columns or not (bar.opens or bar.closes):
        return bar
    start, end = bar.between
    return bar._replace(
        start=start if bar.opens and bar.columns[0].column - start >= lead else bar.start,
        end=end if bar.closes and bar.columns[-1].column < end else bar.end,
    )


def timed(systems: list[ReadSystem]) -> Iterable[ReadSystem]:
    """The systems of one part with metre and timing for every bar; rhythm is read over the whole part."""
    bars, said = _columns_and_cuts(systems), read_said(systems[0].header.rhythm)
    timings = [
        half
        for timing, (_, cut) in zip(read_rhythm([columns for columns, _ in bars], said), bars, strict=True)
        for half in (_halves(timing, cut) if cut is not None else (timing,))
    ]
    done = 0
    for system in systems:
        end = done + len(system.bars)
        times = tuple(timing.time for timing in timings[done:end])
        yield system._replace(times=times, timings=tuple(timings[done:end]))
        done = end


def _one_bar(first: BarColumns, second: BarColumns) -> BarColumns:
    """Two pieces of one bar put together."""

    def behind(words: tuple[tuple[int, str], ...]) -> tuple[tuple[int, str], ...]:
        return tuple((column + first.width, word) for column, word in words)

    return first._replace(
        onsets=first.onsets + tuple(column + first.width for column in second.onsets),
        width=first.width + second.width,
        letters=first.letters + behind(second.letters),
        counts=first.counts + behind(second.counts),
        extents=first.extents + second.extents,
        brackets=first.brackets + tuple((a + first.width, b + first.width) for a, b in second.brackets),
    )


def _halves(timing: Timing, cut: int) -> tuple[Timing, Timing]:
    """The timing of a bar for its pieces before and after a number of onsets."""
    at = timing.onsets[cut] if cut < len(timing.onsets) else None
    before = tuple(rest for rest in timing.rests if at is None or rest[0] < at)
    return (
        timing._replace(onsets=timing.onsets[:cut], durations=timing.durations[:cut], rests=before),
        timing._replace(
            onsets=timing.onsets[cut:], durations=timing.durations[cut:], rests=timing.rests[len(before) :]
        ),
    )


def _bar_columns(
    bar: RawBar, time: TimeSignature, attached: Attached, index: int, *, assumed: bool
) -> BarColumns:
    def shifted(words: list[tuple[int, str]] | None) -> tuple[tuple[int, str], ...]:
        return tuple([(column - bar.start, word) for column, word in words]) if words else ()

    struck = [column for column in bar.columns if not column.grace]
    return BarColumns(
        tuple([column.column - bar.start for column in struck]),
        bar.end - bar.start,
        time,
        shifted(attached.letters.get(index)),
        _counted_on(shifted(attached.counts.get(index)), time),
        tuple(map(_extent, struck)),
        brackets=tuple([(a - bar.start, b - bar.start) for a, b in attached.brackets.get(index, ())]),
        assumed=assumed,
        doubtful=index in attached.unread,
    )


def _counted_on(counts: tuple[tuple[int, str], ...], time: TimeSignature) -> tuple[tuple[int, str], ...]:
    """Counts that begin anew with every group of an uneven bar, 1 2 1 2 1 2 3 in seven eighths."""
    if not counts:
        return ()
    words = [word for _, word in counts]
    grouped = words[:1] == ["1"] and words.count("1") > 1 and len(words) == time.beats
    if not grouped or not all(map(str.isdecimal, words)):
        return counts
    return tuple((column, str(number)) for number, (column, _) in enumerate(counts, 1))


# What most onsets take: one digit.
_DIGIT = Extent(1, 1, 1, joined=False)


def _extent(column: Column) -> Extent:
    """The columns and notes that one onset takes."""
    notes = column.notes
    if len(notes) == 1 and not notes[0].techniques:
        (note,) = notes
        if note.stop - note.column == 1:
            return _DIGIT
        return _shared(note.end - note.column, note.stop - note.column, 1, joined=False)
    digits = stop = column.column
    joined = True
    for note in notes:
        digits, stop = max(digits, note.end), max(stop, note.stop)
        joined = joined and bool(note.techniques) and BY_NAME[note.techniques[0].name].joins
    return _shared(digits - column.column, stop - column.column, len(notes), joined=joined)


@lru_cache(maxsize=256)
def _shared(digits: int, cell: int, notes: int, *, joined: bool) -> Extent:
    """One object for all onsets that take as much: a long page has few kinds."""
    return Extent(digits, cell, notes, joined)
