"""The music of a part in order of time: what is struck, what still sounds, and what is in force.

A score has bars with events, as it was written. Whoever asks what the hand does, which chord counts or what
is heard reads the moments of a part here, so that there is one answer for all. Times are quarter notes from
the start of the part, repeats not unrolled; `tabtools.playing` has the order in which bars are played.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import chain

from tabtools.record import NamedTuple
from tabtools.score import ZERO, Bar, Event, Harmony, Instrument, Note, Part, Quarters, Tempo

# Played by the picking hand, or touched and not pressed down.
_UNPRESSED = ("tap", "harmonic", "artificial")


class NoteIndex(NamedTuple):
    """Where a note stands in its part: bar, event and note, each counted from 0."""

    bar: int
    event: int
    note: int


class Sound(NamedTuple):
    """A note that is struck, from ``start`` to ``end``: what is tied to it is part of it.

    ``stops`` is where it is no longer heard: later than ``end`` where it is let ring, earlier where its
    string is struck again. A string stops a note without one where both have the same pitch.
    """

    note: Note
    event: Event
    where: NoteIndex
    start: Quarters
    end: Quarters
    stops: Quarters


class Moment(NamedTuple):
    """Notes that are struck together, and what is in force then.

    ``held`` are the sounds from before that are still heard. ``harmony`` is the chord symbol as written and
    ``section`` the name of the section, None where there is none yet. The key and the metre are the bar's.
    ``grace`` is true for grace notes, which are a moment of their own before what they lead to.
    """

    start: Quarters
    bar: Bar
    struck: tuple[Sound, ...]
    held: tuple[Sound, ...]
    harmony: Harmony | None
    section: str | None
    tempo: Tempo | None
    instrument: Instrument
    grace: bool = False


class ChordSpan(NamedTuple):
    """A chord symbol and the time for which it is in force, up to the next one or the end of the part."""

    harmony: Harmony
    bar: Bar
    start: Quarters
    end: Quarters


def moments(part: Part) -> tuple[Moment, ...]:
    """The moments of a part in order of time. Rests are no moment; a tied note is part of the one before."""
    changes = _Changes(part)
    sounding: list[Sound] = []
    result: list[Moment] = []
    for group in _groups(_heard(part)):
        first = group[0]
        sounding = [sound for sound in sounding if sound.stops > first.start]
        bar = part.bars[first.where.bar]
        in_force = changes.at(first.where.bar, first.event.onset)
        result.append(Moment(first.start, bar, tuple(group), tuple(sounding), *in_force, first.event.grace))
        sounding += group
    return tuple(result)


def chord_spans(part: Part) -> tuple[ChordSpan, ...]:
    """Every chord symbol of a part in order of time, with the time for which it is in force."""
    starts = part.starts
    symbols = [
        (start + harmony.onset, harmony, bar)
        for start, bar in zip(starts, part.bars, strict=True)
        for harmony in bar.harmonies
    ]
    symbols.sort(key=lambda symbol: symbol[0])
    last = starts[-1] + part.bars[-1].lasts if starts else ZERO
    ends = [*(start for start, _, _ in symbols), last][1:]
    return tuple(
        ChordSpan(harmony, bar, start, max(start, end))
        for (start, harmony, bar), end in zip(symbols, ends, strict=True)
    )


def chords_in_force(part: Part) -> tuple[tuple[Harmony | None, ...], ...]:
    """For each event of each bar, in the order of the score, the chord symbol in force or None."""
    changes = _Changes(part)
    rows = []
    for number, bar in enumerate(part.bars):
        onsets = sorted({event.onset for event in bar.events})
        in_force = {onset: changes.at(number, onset).harmony for onset in onsets}
        rows.append(tuple(in_force[event.onset] for event in bar.events))
    return tuple(rows)


def pressed_at(note: Note, instrument: Instrument) -> tuple[int, int] | None:
    """String and fret of a note that a finger of the fretting hand presses down; None for any other.

    Frets count from the capo. A fret beyond the neck is a slip of its own and says nothing of the hand.
    """
    if note.string is None or not note.fret or note.has(*_UNPRESSED):
        return None
    on_neck = note.fret + instrument.capo <= instrument.frets
    return (note.string, note.fret) if on_neck and note.string <= len(instrument.tuning) else None


class _InForce(NamedTuple):
    """What is in force at an onset."""

    harmony: Harmony | None
    section: str | None
    tempo: Tempo | None
    instrument: Instrument


class _Changes:
    """Chord, section, tempo and instrument in force, asked for in order of time."""

    def __init__(self, part: Part) -> None:
        self._part = part
        self._bar = -1
        self._pending: list[Harmony] = []
        self._harmony: Harmony | None = None
        self._section: str | None = None
        self._tempo: Tempo | None = None

    def at(self, bar: int, onset: Quarters) -> _InForce:
        """What is in force at an onset in a bar, which is counted from 0."""
        while self._bar < bar:
            self._enter(self._part.bars[self._bar + 1])
        while self._pending and self._pending[-1].onset <= onset:
            self._harmony = self._pending.pop()
        instrument = self._part.bars[bar].instrument or self._part.instrument
        return _InForce(self._harmony, self._section, self._tempo, instrument)

    def _enter(self, bar: Bar) -> None:
        if self._pending:
            self._harmony = self._pending[0]
        self._bar += 1
        self._pending = sorted(bar.harmonies, key=lambda harmony: harmony.onset)[::-1]
        self._section = bar.section or self._section
        self._tempo = bar.tempo or self._tempo


def _groups(sounds: list[Sound]) -> Iterator[list[Sound]]:
    """Sounds that are struck together; each grace event is a group of its own."""
    group: list[Sound] = []
    for sound in sounds:
        if group and not _together(group[-1], sound):
            yield group
            group = []
        group.append(sound)
    if group:
        yield group


def _together(before: Sound, after: Sound) -> bool:
    if before.event.grace or after.event.grace:
        return before.where[:2] == after.where[:2]
    return before.start == after.start


def _heard(part: Part) -> list[Sound]:
    """The sounds of a part in order of time, each as long as it is heard."""
    bar_ends = [start + bar.lasts for start, bar in zip(part.starts, part.bars, strict=True)]
    sounds = _struck(part)
    struck_again: dict[tuple[str, int], Quarters] = {}
    damped = bar_end = ZERO
    for place in reversed(range(len(sounds))):
        sound = sounds[place]
        if bar_ends[sound.where.bar] != bar_end:
            damped = bar_end = bar_ends[sound.where.bar]
        stops = sound.end
        if sound.note.has("let-ring"):
            stops = max(stops, damped)
        elif not sound.event.grace:
            damped = sound.start
        keys = _sources(sound.note)
        stops = min([stops, *(struck_again[key] for key in keys if key in struck_again)])
        struck_again.update(dict.fromkeys(keys, sound.start))
        sounds[place] = sound._replace(stops=max(stops, sound.start))
    return sounds


def _struck(part: Part) -> list[Sound]:
    """The sounds of a part in order of time, each as long as it is written with what is tied to it."""
    struck: list[Sound] = []
    last: dict[tuple[str, int], int] = {}
    for sound in chain.from_iterable(
        _of_bar(part, number, start) for number, start in enumerate(part.starts)
    ):
        keys = _sources(sound.note)
        origin = next((last[key] for key in keys if key in last), None) if sound.note.tied else None
        if origin is None:
            last.update(dict.fromkeys(keys, len(struck)))
            struck.append(sound)
        else:
            struck[origin] = struck[origin]._replace(end=max(struck[origin].end, sound.end))
    return struck


def _of_bar(part: Part, number: int, start: Quarters) -> Iterator[Sound]:
    """Every note of a bar by onset, grace notes first."""
    events = sorted(enumerate(part.bars[number].events), key=lambda pair: (pair[1].onset, not pair[1].grace))
    for place, event in events:
        onset = start + event.onset
        end = onset + event.duration
        for row, note in enumerate(event.notes):
            yield Sound(note, event, NoteIndex(number, place, row), onset, end, end)


def _sources(note: Note) -> list[tuple[str, int]]:
    """By what a note is continued or stopped: its string, and its pitch."""
    sources = [("string", note.string)] if note.string is not None else []
    if note.pitch is not None and not sources:
        sources.append(("pitch", note.pitch.midi))
    return sources
