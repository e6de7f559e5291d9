"""The elements of a MusicXML file, each with its place in the text, its place in time, and what is in force.

The reader makes these records in its one pass through the tree, and the score from them; rules, repairs and
edits stand on the same records, so that an element has one meaning. Times are quarter notes from the start
of the bar.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction

from lxml import etree

from tabtools.musicxml.extents import Extents
from tabtools.record import NamedTuple
from tabtools.score import (
    COMMON_TIME,
    ZERO,
    Instrument,
    Key,
    Pitch,
    Quarters,
    Technique,
    TimeSignature,
    Tuplet,
)
from tabtools.techniques import ordered
from tabtools.theory.duration import TYPES

# A length counted in divisions: a whole number in nearly every file, and exact in the others.
Ticks = int | Fraction
_MOST_DOTS = 4


class Transposition(NamedTuple):
    """From written to sounding pitch: steps and semitones, octaves included."""

    steps: int = 0
    semitones: int = 0


class InForce(NamedTuple):
    """What holds for the notes of a staff: divisions of a quarter note, signature and key, metre,
    transposition, clef sign, whether it is tab, and the instrument with its tuning and capo."""

    divisions: Ticks
    fifths: int
    key: Key | None
    time: TimeSignature
    transposition: Transposition
    clef: str
    tab: bool
    instrument: Instrument


class Join(NamedTuple):
    """An end of a slur, hammer-on, pull-off, slide or glissando; ``end`` is ``start`` or ``stop``."""

    kind: str
    end: str
    number: str
    element: etree._Element


class LocatedNote:
    """What a ``note`` element says, and where it stands; ``bar`` is the number of its bar, from 1.

    ``ticks`` is the duration as written, in divisions, None where there is none or one that is no number.
    ``pitch`` is as written, quarter tones rounded (``between`` marks those). ``value`` is the note's type and
    ``ties`` are pairs of element name and type. A plain class with defaults: most notes say a few of these
    things, and only those are set.
    """

    element: etree._Element
    bar: int
    in_force: InForce
    onset: Quarters = ZERO
    duration: Quarters = ZERO
    ticks: Ticks | None = None
    pitch: Pitch | None = None
    between = False
    value = ""
    dots = 0
    accidental = ""
    rest = False
    whole_bar = False
    chord = False
    grace = False
    cue = False
    unpitched = False
    voice = "1"
    staff = 1
    tuplet: Tuplet | None = None
    string: int | None = None
    fret: int | None = None
    finger: str | None = None
    ties: tuple[tuple[str, str], ...] = ()
    joins: tuple[Join, ...] = ()
    harmonic = ""
    sized: dict[str, Fraction | None] | None = None
    falling: tuple[str, ...] = ()
    bends: tuple[tuple[str, Fraction], ...] = ()
    faulty: tuple[etree._Element, ...] = ()

    def add(self, name: str, value: Fraction | None = None) -> None:
        """Note a technique, with its size where it has one; the last one said of a name counts."""
        if self.sized is None:
            self.sized = {}
        self.sized[name] = value

    def has(self, *names: str) -> bool:
        """Whether the note is played with one of these techniques."""
        return self.sized is not None and any(name in self.sized for name in names)

    def techniques(self) -> tuple[Technique, ...]:
        """The techniques, in the order of their table."""
        if self.sized is None and not self.bends:
            return ()
        sized = dict(self.sized or {})
        if self.bends:
            kinds = {kind for kind, _ in self.bends}
            stem = "prebend" if "pre-bend" in kinds or kinds == {"release"} else "bend"
            sized[f"{stem}-release" if "release" in kinds else stem] = self.bends[0][1]
        if "pinch" in sized:
            sized.pop("artificial", None)
        return ordered(Technique(name, value, name in self.falling) for name, value in sized.items())

    def contains(self, path: str) -> bool:
        """Whether the element holds one at this path."""
        return self.element.find(path) is not None

    @property
    def divisions(self) -> Fraction:
        """The divisions of a quarter note in force."""
        return Fraction(self.in_force.divisions)

    @property
    def midi(self) -> int | None:
        """The MIDI number of the pitch as written; None without one, and for quarter tones."""
        return None if self.pitch is None or self.between else self.pitch.midi

    @property
    def sounding(self) -> int | None:
        """The MIDI number of the pitch after transposition."""
        return None if self.midi is None else self.midi + self.in_force.transposition.semitones

    @property
    def open_strings(self) -> dict[int, int]:
        """The MIDI numbers of the open strings, with capo; empty where the file does not say the tuning."""
        instrument = self.in_force.instrument
        if instrument.inferred:
            return {}
        return {string: pitch.midi + instrument.capo for string, pitch in enumerate(instrument.tuning, 1)}

    @property
    def fretted(self) -> int | None:
        """The MIDI number of its string and fret, where it has both and the string's tuning is known."""
        instrument = self.in_force.instrument
        if self.string is None or self.fret is None or instrument.inferred:
            return None
        known = 1 <= self.string <= len(instrument.tuning)
        return instrument.midi(self.string, self.fret) if known else None

    @property
    def written_length(self) -> Quarters | None:
        """The length that type, dots and tuplet show; None without a type that is known."""
        if self.value not in TYPES:
            return None
        length = TYPES[self.value] * (2 - Fraction(1, 2 ** min(self.dots, _MOST_DOTS)))
        return length if self.tuplet is None else length * self.tuplet.normal / self.tuplet.actual

    @property
    def tied(self) -> bool:
        """Whether the note is the end of a tie, and not struck."""
        return any(kind == "stop" for _, kind in self.ties)

    @property
    def auxiliary(self) -> bool:
        """Whether it explains an artificial harmonic and is not struck; one staff may leave it out."""
        return self.has("artificial")

    @property
    def sounds_elsewhere(self) -> bool:
        """Whether it is heard at another pitch than that of its fret: a harmonic, a bend, a dead note."""
        return bool(self.bends) or self.has("dead", "harmonic", "artificial", "whammy")


@dataclass(slots=True, eq=False)
class LocatedBar:
    """A bar of a part; ``number`` counts from 1, and ``content`` is the element that holds its music.

    ``element`` is the measure, the same unless the file is timewise. ``length`` is that of the metre, None in
    free time. ``end`` is the furthest place in time that its elements reach, ``now`` the one after the last
    of them; ``divisions`` are those in force there.
    """

    element: etree._Element
    content: etree._Element
    number: int
    length: Quarters | None = COMMON_TIME.length
    divisions: Ticks = 1
    end: Quarters = ZERO
    now: Quarters = ZERO
    pickup: bool = False
    notes: list[LocatedNote] = field(default_factory=list)

    def voices(self) -> dict[str, list[LocatedNote]]:
        """The notes of each voice in order, without cue notes."""
        voices: defaultdict[str, list[LocatedNote]] = defaultdict(list)
        for note in self.notes:
            if not note.cue:
                voices[note.voice].append(note)
        return voices


class LocatedPart(NamedTuple):
    """A part. ``tab`` are the numbers of its tab staves, ``instrument`` is the one that it begins with; its
    tuning is a guess, which ``inferred`` says, where the file gives none."""

    identity: str
    bars: list[LocatedBar]
    tab: frozenset[int]
    instrument: Instrument
    staves: int

    @property
    def notes(self) -> Iterator[LocatedNote]:
        """All notes in document order."""
        return (note for bar in self.bars for note in bar.notes)

    def bar_of(self, note: LocatedNote) -> LocatedBar:
        """The bar that a note stands in."""
        return self.bars[note.bar - 1]

    def bar_before(self, note: LocatedNote) -> LocatedBar | None:
        """The bar before that of a note; None in the first."""
        return self.bars[note.bar - 2] if note.bar > 1 else None


class Located(NamedTuple):
    """A file: its tree, the extents of its elements in the text, and its parts. ``faulty`` are the elements
    whose values cannot be read and count as missing."""

    tree: etree._ElementTree
    extents: Extents
    parts: tuple[LocatedPart, ...]
    faulty: tuple[etree._Element, ...] = ()


def ends_ending(bar: LocatedBar | None) -> bool:
    """Whether an ending for some passes ends with a bar, so that the next bar is not what is played next."""
    if bar is None:
        return False
    return any(ending.get("type") != "start" for ending in bar.content.iterfind("barline/ending"))
