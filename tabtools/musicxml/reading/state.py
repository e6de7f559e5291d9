"""What the reader holds while it walks: the cursor, what stays in force, and bars and events half done."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from tabtools.musicxml.reading.spans import Places
from tabtools.musicxml.reading.staves import Transposition
from tabtools.musicxml.reading.values import Ticks
from tabtools.record import NamedTuple
from tabtools.score import (
    COMMON_TIME,
    ZERO,
    Event,
    Harmony,
    Inferred,
    Instrument,
    Key,
    Note,
    Pitch,
    Quarters,
    Tempo,
    TimeSignature,
    Tuplet,
    Words,
)
from tabtools.source import Span


class Struck(NamedTuple):
    """A note and the pitch by which its two copies are known; that of a dead note is its open string's.

    ``bundle`` says which of the three notes of an artificial harmonic it is; empty for any other note.
    """

    note: Note
    pitch: Pitch | None
    bundle: str = ""

    @property
    def midi(self) -> int | None:
        """The MIDI number of the pitch."""
        return None if self.pitch is None else self.pitch.midi


@dataclass(slots=True)
class RawEvent:
    """An event as one staff has it. ``ticks`` is its onset in the divisions in force at the bar's end."""

    ticks: Ticks
    onset: Quarters
    duration: Quarters
    staff: int
    voice: int
    grace: bool
    tuplet: Tuplet | None
    span: Span | None
    notes: list[Struck] = field(default_factory=list)

    def event(self) -> Event:
        """The event, done."""
        notes = tuple([struck.note for struck in self.notes])
        return Event(self.onset, self.duration, notes, self.grace, self.tuplet, self.voice, self.span)


@dataclass(slots=True)
class RawBar:
    """A bar whose events are still as the staves have them.

    ``bundled`` are the events with notes of artificial harmonics; in a ``rewound`` bar events may stand out
    of their order in time; ``end`` is the bar's length in divisions.
    """

    number: int
    label: str | None
    spans: tuple[Span, ...]
    instrument: Instrument
    time: TimeSignature
    key: Key | None
    free: bool
    endings: tuple[int, ...]
    events: list[RawEvent] = field(default_factory=list)
    bundled: list[RawEvent] = field(default_factory=list)
    harmonies: list[Harmony] = field(default_factory=list)
    words: list[Words] = field(default_factory=list)
    inferred: list[Inferred] = field(default_factory=list)
    section: str | None = None
    tempo: Tempo | None = None
    pickup: bool = False
    repeat_start: bool = False
    repeat_times: int = 0
    rewound: bool = False
    end: Ticks = 0


class Clock:
    """The cursor in a bar. It counts in divisions, which are whole numbers in nearly every file."""

    __slots__ = ("_known", "divisions", "now")

    def __init__(self) -> None:
        self.now: Ticks = 0
        self.divisions: Ticks = 1
        self._known: dict[Ticks, Quarters] = {0: ZERO}

    def quarters(self, ticks: Ticks) -> Quarters:
        """A number of divisions in quarter notes."""
        found = self._known.get(ticks)
        if found is None:
            found = self._known[ticks] = Fraction(ticks) / self.divisions
        return found

    def count_in(self, divisions: Ticks) -> Fraction:
        """Go over to other divisions, at the same place. Returns what a number of ticks is multiplied by."""
        ratio = Fraction(divisions) / self.divisions
        self.now = simple(self.now * ratio)
        self.divisions = divisions
        self._known = {0: ZERO}
        return ratio


def simple(ticks: Ticks) -> Ticks:
    """A whole number as an ``int``, which counts faster than a Fraction."""
    return ticks.numerator if ticks.denominator == 1 else ticks


@dataclass(slots=True)
class State:
    """What stays in force from bar to bar of a part."""

    instrument: Instrument
    places: Places
    tab: frozenset[int]
    clock: Clock = field(default_factory=Clock)
    key: Key | None = None
    time: TimeSignature = COMMON_TIME
    free: bool = False
    mute: bool = False
    passes: tuple[int, ...] = ()
    transpositions: dict[int, Transposition] = field(default_factory=dict)

    def next_bar(self, number: int, label: str | None, span: Span | None) -> RawBar:
        """An empty bar with everything that is in force, and the cursor at its start."""
        self.clock.now = 0
        spans = (span,) if span is not None else ()
        return RawBar(number, label, spans, self.instrument, self.time, self.key, self.free, self.passes)
