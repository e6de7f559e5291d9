"""The score: the one thing that all parts share. Immutable, typed, exact.

Time is counted in quarter notes as Fractions from the start of the bar. Strings are numbered as players
do: string 1 is the highest-pitched full-length string. Pitches are sounding pitches.
"""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import accumulate

from tabtools.record import NamedTuple
from tabtools.source import Span

Quarters = Fraction

ZERO = Fraction(0)
_SEMITONES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}
_PITCH_NAME = re.compile(r"([A-G])(#{0,3}|b{0,3})(-?\d+)")
_ACCIDENTALS = {-3: "bbb", -2: "bb", -1: "b", 0: "", 1: "#", 2: "##", 3: "###"}


class Inferred(NamedTuple):
    """What the tool worked out itself: which fact, from what evidence, how sure (0 to 1)."""

    fact: str
    evidence: str
    confidence: float


class Pitch(NamedTuple):
    """A spelled pitch in scientific notation: C4 is middle C, MIDI 60. ``alter`` is in semitones."""

    step: str
    alter: int
    octave: int

    @classmethod
    def from_name(cls, name: str) -> Pitch:
        """The pitch of a name as `name` gives it: ``F#3``, ``Eb4``. Raises ValueError for anything else."""
        match = _PITCH_NAME.fullmatch(name)
        if match is None:
            raise ValueError(f"not a note name with octave: {name!r}")
        step, accidentals, octave = match.groups()
        return cls(step, accidentals.count("#") - accidentals.count("b"), int(octave))

    @property
    def midi(self) -> int:
        """MIDI number: 12 semitones an octave, A4 = 69 (equal temperament, A4 = 440 Hz)."""
        return 12 * (self.octave + 1) + _SEMITONES[self.step] + self.alter

    @property
    def letter(self) -> str:
        """The note name without octave, as in ``F#`` or ``Bb``."""
        return self.step + _ACCIDENTALS[self.alter]

    @property
    def name(self) -> str:
        """The note name with octave, as in ``F#4``."""
        return f"{self.letter}{self.octave}"


class Key(NamedTuple):
    """A key or mode: tonic and mode name (``major``, ``minor``, ``dorian`` …)."""

    step: str
    alter: int
    mode: str

    @property
    def name(self) -> str:
        """As in ``F# minor``."""
        return f"{self.step}{_ACCIDENTALS[self.alter]} {self.mode}"


class TimeSignature(NamedTuple):
    """A metre: ``beats`` of 1/``unit`` notes."""

    beats: int
    unit: int

    @property
    def length(self) -> Quarters:
        """The length of a whole bar in quarter notes."""
        return Fraction(4 * self.beats, self.unit)

    @property
    def name(self) -> str:
        """As in ``6/8``."""
        return f"{self.beats}/{self.unit}"


COMMON_TIME = TimeSignature(4, 4)


class Tempo(NamedTuple):
    """``per_minute`` beats a minute, each beat ``beat`` quarter notes long."""

    per_minute: Fraction
    beat: Quarters = Fraction(1)
    span: Span | None = None


class Feel(NamedTuple):
    """How notes of ``unit`` quarter notes are felt, from a bar on: in pairs whose lengths are as ``first`` to
    ``second``, 2 to 1 where they swing. ``name`` is swing, shuffle, straight or half-time."""

    name: str
    first: int = 1
    second: int = 1
    unit: Quarters = Fraction(1, 2)


class Technique(NamedTuple):
    """How a note is played: a name of `tabtools.techniques`, with its size where it has one.

    ``value`` is in semitones for bends and a fret for a trill. ``falling`` is for slides from and to nowhere:
    they go down the neck, from above the note or to below it.
    """

    name: str
    value: Fraction | None = None
    falling: bool = False

    @property
    def word(self) -> str:
        """As in ``hammer``, ``bend:2`` or ``bend:0.5``."""
        if self.value is None:
            return self.name
        number = self.value.numerator if self.value.denominator == 1 else float(self.value)
        return f"{self.name}:{number}"


class Note(NamedTuple):
    """One note. ``fret`` counts from the capo; it and ``pitch`` are None for a dead note.

    ``pitch`` is the sounding pitch of string and fret: a bend does not change it. ``tied`` notes continue
    the note before on that string (or of that pitch) and are not struck again.
    """

    string: int | None
    fret: int | None
    pitch: Pitch | None
    techniques: tuple[Technique, ...] = ()
    finger: str | None = None
    tied: bool = False
    span: Span | None = None
    inferred: tuple[Inferred, ...] = ()

    def has(self, *names: str) -> bool:
        """Whether the note is played with any technique of these names."""
        return bool(self.techniques) and any(t.name in names for t in self.techniques)


class Tuplet(NamedTuple):
    """``actual`` notes in the time of ``normal``: 3 and 2 for a triplet."""

    actual: int
    normal: int


class Event(NamedTuple):
    """Notes struck together, or a rest when there are none. A grace event takes no time."""

    onset: Quarters
    duration: Quarters
    notes: tuple[Note, ...] = ()
    grace: bool = False
    tuplet: Tuplet | None = None
    voice: int = 1
    span: Span | None = None
    inferred: tuple[Inferred, ...] = ()


class Harmony(NamedTuple):
    """A chord symbol, exactly as written, in force from its onset until the next one."""

    onset: Quarters
    symbol: str
    span: Span | None = None
    inferred: tuple[Inferred, ...] = ()


class Words(NamedTuple):
    """A remark at a place in the bar: a position, a way of playing."""

    onset: Quarters
    text: str
    span: Span | None = None


class Bar(NamedTuple):
    """One bar as written; repeats are not unrolled.

    ``number`` counts bars from 1; ``label`` is the number that a MusicXML file gives where it differs.
    ``time`` and ``key`` are those in force. ``repeat_times`` is 0 unless a repeat ends here, then the
    number of passes in all. ``endings`` lists the passes that play this bar; empty means all.
    ``spans`` are the bar's stretches of the source, one for each string row of a text tab.
    ``instrument`` is set where tuning or capo differ from the part's, in every such bar.
    ``navigation`` names the signs for the order of playing: ``segno`` and ``coda`` at the bar's start,
    ``to-coda``, ``fine`` and the jumps ``da-capo``, ``dal-segno`` (each also ``-al-fine``, ``-al-coda``) at
    its end. ``feel`` is set in the bar that it begins with.
    """

    number: int
    time: TimeSignature = COMMON_TIME
    key: Key | None = None
    events: tuple[Event, ...] = ()
    harmonies: tuple[Harmony, ...] = ()
    words: tuple[Words, ...] = ()
    pickup: bool = False
    repeat_start: bool = False
    repeat_times: int = 0
    endings: tuple[int, ...] = ()
    section: str | None = None
    tempo: Tempo | None = None
    label: str | None = None
    spans: tuple[Span, ...] = ()
    inferred: tuple[Inferred, ...] = ()
    instrument: Instrument | None = None
    navigation: tuple[str, ...] = ()
    feel: Feel | None = None

    @property
    def length(self) -> Quarters:
        """The end of the last event in quarter notes from the bar's start; 0 for an empty bar."""
        return max((e.onset + e.duration for e in self.events), default=ZERO)

    @property
    def lasts(self) -> Quarters:
        """The time until the next bar: by the metre, more in an overfull bar; in a pick-up what it holds."""
        return self.length if self.pickup else max(self.length, self.time.length)


class Instrument(NamedTuple):
    """A fretted instrument.

    ``tuning`` holds the open strings without capo, string 1 first; re-entrant tunings keep the order of
    the strings, not of the pitches. ``capo`` is a fret, 0 for none. ``scale_length`` is in millimetres.
    """

    name: str
    tuning: tuple[Pitch, ...]
    capo: int = 0
    frets: int = 24
    scale_length: float = 648.0
    span: Span | None = None
    inferred: tuple[Inferred, ...] = ()

    def midi(self, string: int, fret: int) -> int:
        """Sounding MIDI number of a fret counted from the capo.

        Raises IndexError for a string that the instrument does not have.
        """
        if not 1 <= string <= len(self.tuning):
            raise IndexError(f"string {string} of {len(self.tuning)}")
        return self.tuning[string - 1].midi + self.capo + fret


class Part(NamedTuple):
    """One instrument's music from beginning to end."""

    name: str
    instrument: Instrument
    bars: tuple[Bar, ...] = ()

    @property
    def starts(self) -> tuple[Quarters, ...]:
        """Where each bar begins, in quarter notes from the start of the part; repeats are not unrolled."""
        return tuple(accumulate((bar.lasts for bar in self.bars[:-1]), initial=ZERO))[: len(self.bars)]


class Score(NamedTuple):
    """A whole file's music: one part for each instrument, or for each lick of a page of licks."""

    parts: tuple[Part, ...] = ()
    title: str | None = None
    composer: str | None = None
