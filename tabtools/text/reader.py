"""Text tab to a score: the stages of this package, put together."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Iterator
from fractions import Fraction
from functools import lru_cache
from operator import attrgetter, itemgetter

from tabtools.collecting import uncollected
from tabtools.document import NO_DEFAULTS, Defaults, Document
from tabtools.score import (
    ZERO,
    Bar,
    Event,
    Harmony,
    Inferred,
    Key,
    Note,
    Part,
    Pitch,
    Quarters,
    Score,
    Words,
)
from tabtools.source import Source
from tabtools.techniques import ordered
from tabtools.text.part_doubts import part_doubts
from tabtools.text.read import ReadPage, ReadSystem
from tabtools.text.rhythm import Timing, read_said
from tabtools.text.rows.columns import RawBar
from tabtools.text.rows.tokens import RowNote
from tabtools.text.systems import read_page
from tabtools.text.unclear import rhythm_doubts
from tabtools.theory.spelling import spell

_BY_STRING = attrgetter("string")
_TIME_ASSUMED = (Inferred("time", "nothing written", 0.6),)


def read_text(source: Source, defaults: Defaults = NO_DEFAULTS) -> Document:
    """Read a text tab; ``defaults`` hold where the page says nothing.

    Raises UnreadableError when the text holds no tab at all.
    """
    with uncollected():
        return _read(source, defaults)


def _read(source: Source, defaults: Defaults) -> Document:
    read = read_page(source, defaults)
    doubts = [
        *read.doubts,
        *(doubt for systems in read.parts for doubt in part_doubts(systems)),
        *(
            doubt
            for systems in read.parts
            for system in systems
            for doubt in (*system.doubts, *system.remarks, *rhythm_doubts(system))
        ),
    ]
    doubts.sort(key=lambda doubt: (doubt.span.start, doubt.kind))
    page, title, composer = read.page, read.title, read.header.composer
    parts = [list(systems) for systems in read.parts]
    del read
    score = Score(tuple(_part(systems[0], _draining(systems)) for systems in parts), title, composer)
    return Document(source, score, tuple(doubts), page)


def score_of(read: ReadPage) -> Score:
    """The score of a page that was read as far as columns and time go."""
    parts = tuple(_part(systems[0], systems) for systems in read.parts)
    return Score(parts, read.title, read.header.composer)


def _draining(systems: list[ReadSystem]) -> Iterator[ReadSystem]:
    """The systems one by one, each let go when the next one comes: a long page need not be kept twice."""
    systems.reverse()
    while systems:
        yield systems.pop()


def _part(head: ReadSystem, systems: Iterable[ReadSystem]) -> Part:
    bars: list[Bar] = []
    for system in systems:
        first = len(bars) + (not system.continues)
        made: list[Bar] = []
        note_of = _note_of(system)
        for index, raw in enumerate(system.bars):
            bar = _bar(system, index, first + index, note_of)
            before = made[-1] if made else bars[-1] if bars else None
            made.append(_once_more(bar, before) if raw.same and before is not None else bar)
        made = _repeats(made, system)
        if system.continues and bars:
            made[0] = _whole(bars.pop(), made[0])
        bars += made
    tempo = head.header.tempo
    if bars and tempo:
        bars[0] = bars[0]._replace(tempo=tempo)
    if bars and (feel := read_said(head.header.rhythm).feel):
        bars[0] = bars[0]._replace(feel=feel)
    instrument = head.strings.instrument
    return Part(head.attached.part or instrument.name, instrument, tuple(bars))


def _once_more(bar: Bar, before: Bar) -> Bar:
    """An empty bar with the music of the bar before it; its sign is where all of it is written."""
    span = bar.spans[0] if bar.spans else None
    events = tuple(
        event._replace(notes=tuple(note._replace(span=None) for note in event.notes), span=span)
        for event in before.events
    )
    return bar._replace(events=events)


def _whole(first: Bar, second: Bar) -> Bar:
    """One bar from its two pieces."""
    return first._replace(
        events=first.events + second.events,
        harmonies=first.harmonies + second.harmonies,
        words=first.words + second.words,
        repeat_times=second.repeat_times,
        endings=first.endings or second.endings,
        spans=first.spans + second.spans,
    )


def _bar(system: ReadSystem, index: int, number: int, note_of: Callable[[RowNote], Note]) -> Bar:
    raw, timing, attached = system.bars[index], system.timings[index], system.attached
    header = system.header
    events, places = _events(raw, timing, note_of)
    end = timing.onsets[-1] + timing.durations[-1] if timing.onsets else system.times[index].length

    def onset_of(column: int) -> Quarters:
        return _onset_at(column, places, raw, end)

    harmonies = [Harmony(onset_of(at), name, span) for at, name, span in attached.chords.get(index, [])]
    words = [Words(onset_of(at), text, span) for at, text, span in attached.words.get(index, [])]
    return Bar(
        number,
        system.times[index],
        header.key,
        events,
        tuple(sorted(harmonies, key=lambda harmony: harmony.onset)),
        tuple(sorted(words, key=lambda word: word.onset)),
        pickup=timing.pickup,
        repeat_start=raw.opens,
        repeat_times=2 if raw.closes else 0,
        section=system.section if index == 0 else None,
        spans=tuple(
            [
                row.line.span(start, end if end > start else start)
                for row, (start, end) in zip(system.system.rows, raw.bounds, strict=True)
            ]
        ),
        inferred=() if header.time or attached.times else _TIME_ASSUMED,
    )


def _events(
    raw: RawBar, timing: Timing, note_of: Callable[[RowNote], Note]
) -> tuple[tuple[Event, ...], list[tuple[int, Quarters]]]:
    """The events of a bar in order of time, and the onset of every column."""
    inferred = (timing.inferred,) if timing.inferred else ()
    events = [Event(onset, duration, inferred=inferred) for onset, duration in timing.rests]
    places: list[tuple[int, Quarters]] = []
    struck = 0
    for column in raw.columns:
        notes = tuple(map(note_of, column.notes))
        if len(notes) > 1:
            notes = tuple(sorted(notes, key=_BY_STRING))
        span = notes[0].span
        at = timing.onsets[struck] if struck < len(timing.onsets) else _end(timing)
        places.append((column.column, at))
        if column.grace:
            events.append(Event(at, ZERO, notes, grace=True, span=span))
            continue
        events.append(Event(at, timing.durations[struck], notes, span=span, inferred=inferred))
        struck += 1
    if timing.rests:
        events.sort(key=lambda event: (event.onset, not event.grace))
    return tuple(events), places


def _end(timing: Timing) -> Quarters:
    return timing.onsets[-1] + timing.durations[-1] if timing.onsets else ZERO


def _note_of(system: ReadSystem) -> Callable[[RowNote], Note]:
    """What makes the notes of a system from those of its rows."""
    instrument, numbers = system.strings
    tuning, capo, key = instrument.tuning, instrument.capo, system.header.key
    lines = [row.line for row in system.system.rows]

    def note_of(note: RowNote) -> Note:
        string, fret = numbers[note.row], note.fret
        pitch = None if fret is None else _spelled(tuning[string - 1], capo + fret, key)
        techniques = ordered(note.techniques) if note.techniques else ()
        span = lines[note.row].span(note.start, note.end)
        return Note(string, fret, pitch, techniques, note.finger, note.tied, span)

    return note_of


@lru_cache(maxsize=1024)
def _spelled(open_string: Pitch, above: int, key: Key | None) -> Pitch:
    return spell(open_string.midi + above, key)


def _onset_at(column: int, places: list[tuple[int, Quarters]], raw: RawBar, end: Quarters) -> Quarters:
    """The time of a column of the page: that of a note at most two columns away, else in proportion."""
    if not places or column <= places[0][0] + 1:
        return ZERO
    at = bisect_left(places, column, key=itemgetter(0))
    before, after = places[max(at - 1, 0)], places[at] if at < len(places) else (raw.end, end)
    nearest = min((before, *places[at : at + 1]), key=lambda place: abs(place[0] - column))
    if abs(nearest[0] - column) <= 2:
        return nearest[1]
    share = Fraction(column - before[0], max(after[0] - before[0], 1))
    exact = before[1] + (after[1] - before[1]) * share
    # Chords change on half beats at the finest, wherever their names hang.
    return min(Fraction(round(exact * 2), 2), end)


def _repeats(bars: list[Bar], system: ReadSystem) -> list[Bar]:
    """Pass counts and endings that stand beside or over the system."""
    passes = system.attached.passes
    if passes and not any(bar.repeat_times for bar in bars):
        bars[0] = bars[0]._replace(repeat_start=True)
        bars[-1] = bars[-1]._replace(repeat_times=passes)
    elif passes:
        bars = [bar._replace(repeat_times=passes) if bar.repeat_times else bar for bar in bars]
    ending: int | None = None
    for index, bar in enumerate(bars):
        ending = system.attached.endings.get(index, ending)
        if ending is not None:
            bars[index] = bar._replace(endings=(ending,))
        if bar.repeat_times:
            ending = None
    return bars
