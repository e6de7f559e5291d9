"""What the reader holds while it walks: the cursor, what stays in force, and bars and events half done."""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction

from lxml import etree

from tabtools.musicxml.extents import Extents
from tabtools.musicxml.located import InForce, LocatedBar, Ticks, Transposition
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

    located: LocatedBar
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


class State:
    """What stays in force from bar to bar of a part.

    ``instrument`` is that of the first tab staff, or of a part without tab; further tab staves that are tuned
    otherwise have their own. Staff 0 stands for all staves. ``faulty`` collects the elements whose values
    cannot be read.
    """

    def __init__(
        self, instrument: Instrument, extents: Extents, tab: frozenset[int], faulty: list[etree._Element]
    ) -> None:
        self.instrument = instrument
        self.extents = extents
        self.tab = tab
        self.clock = Clock()
        self.key: Key | None = None
        self.time = COMMON_TIME
        self.free = False
        self.mute = False
        self.staves = 1
        self.passes: tuple[int, ...] = ()
        self.faulty = faulty
        self._instruments: dict[int, Instrument] = {}
        self._fifths: dict[int, int] = {}
        self._clefs: dict[int, str] = {}
        self._transpositions: dict[int, Transposition] = {}
        self._in_force: dict[int, InForce] = {}

    def next_bar(
        self, number: int, label: str | None, element: etree._Element, content: etree._Element
    ) -> RawBar:
        """An empty bar with everything that is in force, and the cursor at its start."""
        self.clock.now = 0
        located = LocatedBar(element, content, number)
        spans = (self.extents.span(element),)
        return RawBar(located, label, spans, self.instrument, self.time, self.key, self.free, self.passes)

    def in_force(self, staff: int) -> InForce:
        """What is in force for a staff at the cursor."""
        known = self._in_force.get(staff)
        if known is None:
            known = self._in_force[staff] = InForce(
                self.clock.divisions,
                self._fifths.get(staff, self._fifths.get(0, 0)),
                self.key,
                self.time,
                self._transpositions.get(staff, self._transpositions.get(0, Transposition())),
                self._clefs.get(staff, "G"),
                staff in self.tab,
                self.instrument_of(staff),
            )
        return known

    def changed(self) -> None:
        """Something else is in force from here on."""
        self._in_force.clear()

    def instrument_of(self, staff: int) -> Instrument:
        """The instrument of a staff."""
        return self._instruments.get(staff, self.instrument)

    def retune(self, staff: int, instrument: Instrument) -> None:
        """Give a staff another instrument; every staff has the first tab staff's unless it has its own."""
        if staff in self.tab and staff != min(self.tab):
            self._instruments[staff] = instrument
        else:
            self.instrument = instrument
        self.changed()

    def sign(self, staff: int, fifths: int) -> None:
        """Give a staff, or all of them (0), another key signature."""
        if not staff:
            self._fifths.clear()
        self._fifths[staff] = fifths

    def clef(self, staff: int, sign: str) -> None:
        """Give a staff another clef."""
        self._clefs[staff] = sign

    def transpose(self, staff: int, transposition: Transposition) -> None:
        """Let a staff, or all of them (0), sound elsewhere than written."""
        if not staff:
            self._transpositions.clear()
        self._transpositions[staff] = transposition
