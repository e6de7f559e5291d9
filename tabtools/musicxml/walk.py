"""The notes of a file as its elements have them, each with its place in time: one light pass over the tree.

The reader makes music of the elements; this pass keeps the elements, for what checks and edits them.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction

from lxml import etree

from tabtools.musicxml.positions import Located
from tabtools.score import ZERO, Quarters

_COMMON = Fraction(4)
_SEMITONES = {"C": 0, "D": 2, "E": 4, "F": 5, "G": 7, "A": 9, "B": 11}


@dataclass(slots=True)
class Noted:
    """A ``note`` element. Onset and duration are in quarter notes; ``midi`` is the written pitch and
    ``sounding`` the transposed one; ``divisions``, ``fifths``, ``tuning``
    (MIDI numbers by string) and ``capo`` are those in force."""

    element: etree._Element
    measure: Measure
    staff: int
    voice: str
    onset: Quarters
    duration: Quarters
    divisions: Fraction
    fifths: int
    midi: int | None = None
    sounding: int | None = None
    string: int | None = None
    fret: int | None = None
    chord: bool = False
    grace: bool = False
    cue: bool = False
    rest: bool = False
    tuning: dict[int, int] = field(default_factory=dict)
    capo: int = 0

    @property
    def fretted(self) -> int | None:
        """The MIDI number of its string and fret, where it has both and the string's tuning is known."""
        if self.string not in self.tuning or self.string is None or self.fret is None:
            return None
        return self.tuning[self.string] + self.capo + self.fret

    @property
    def bar(self) -> int:
        """The number of its bar, from 1."""
        return self.measure.number

    @property
    def auxiliary(self) -> bool:
        """Whether it explains an artificial harmonic and is not struck; one staff may leave it out."""
        harmonic = self.element.find("notations/technical/harmonic")
        return harmonic is not None and harmonic.find("artificial") is not None

    def has(self, path: str) -> bool:
        """Whether the element holds one at this path."""
        return self.element.find(path) is not None


@dataclass(slots=True)
class Measure:
    """A bar of a part; ``number`` counts from 1. ``length`` is that of the metre, None in free time.
    Its furthest place is ``end``, the place in time after its last element ``now``."""

    element: etree._Element
    number: int
    length: Quarters | None = None
    divisions: Fraction = Fraction(1)
    end: Quarters = ZERO
    now: Quarters = ZERO
    notes: list[Noted] = field(default_factory=list)

    def voices(self) -> dict[str, list[Noted]]:
        """The notes of each voice in order, without cue notes."""
        found: defaultdict[str, list[Noted]] = defaultdict(list)
        for note in self.notes:
            if not note.cue:
                found[note.voice].append(note)
        return found


@dataclass(slots=True)
class Track:
    """A part. ``tab`` are the numbers of its tab staves, ``tuning`` the MIDI numbers of its open strings
    by string, empty where the file does not say."""

    measures: list[Measure] = field(default_factory=list)
    tab: set[int] = field(default_factory=set)
    tuning: dict[int, int] = field(default_factory=dict)
    capo: int = 0
    staves: int = 1
    transpose: dict[int, int] = field(default_factory=dict)
    state: _State = field(default_factory=lambda: _State())

    @property
    def notes(self) -> Iterator[Noted]:
        """All notes in document order."""
        return (note for measure in self.measures for note in measure.notes)


@dataclass(slots=True)
class _State:
    divisions: Fraction = Fraction(1)
    fifths: int = 0
    length: Quarters | None = _COMMON
    now: Quarters = ZERO
    last: Quarters = ZERO


def ends_ending(measure: etree._Element | None) -> bool:
    """Whether an ending for some passes ends with a bar, so that the next bar is not what is played next."""
    if measure is None:
        return False
    return any(ending.get("type") != "start" for ending in measure.iterfind("barline/ending"))


def tracks(where: Located) -> list[Track]:
    """The parts of a partwise or a timewise file."""
    found: dict[str, Track] = {}
    for identity, element in _measures(where.root):
        track = found.setdefault(identity, Track())
        _read(track, Measure(element, len(track.measures) + 1))
    return list(found.values())


def _measures(root: etree._Element) -> Iterator[tuple[str, etree._Element]]:
    for outer in root:
        for inner in outer if outer.tag in ("part", "measure") else ():
            if inner.tag in ("part", "measure"):
                yield (outer if outer.tag == "part" else inner).get("id") or "", inner


def _read(track: Track, measure: Measure) -> None:
    state = track.state
    state.now = ZERO
    track.measures.append(measure)
    for child in measure.element:
        if child.tag == "note":
            measure.notes.append(_note(child, measure, track))
        elif child.tag == "attributes":
            _attributes(child, track)
        elif child.tag == "backup":
            state.now = max(ZERO, state.now - length(child, state.divisions))
        elif child.tag == "forward":
            state.now += length(child, state.divisions)
        measure.end = max(measure.end, state.now)
    measure.length, measure.divisions, measure.now = state.length, state.divisions, state.now


def _note(element: etree._Element, measure: Measure, track: Track) -> Noted:
    state = track.state
    chord, grace = element.find("chord") is not None, element.find("grace") is not None
    duration = ZERO if grace else length(element, state.divisions)
    staff = whole(element.find("staff"), 1)
    onset = state.last if chord else state.now
    if not chord:
        state.last = state.now
        state.now += duration
    note = Noted(
        element, measure, staff, text(element, "voice") or "1", onset, duration, state.divisions, state.fifths
    )
    note.chord, note.grace = chord, grace
    note.cue, note.rest = element.find("cue") is not None, element.find("rest") is not None
    note.midi = midi(element.find("pitch"))
    if note.midi is not None:
        note.sounding = note.midi + track.transpose.get(staff, track.transpose.get(0, 0))
    string, fret = element.find("notations/technical/string"), element.find("notations/technical/fret")
    note.string = whole(string) if string is not None else None
    note.fret = whole(fret) if fret is not None else None
    note.tuning, note.capo = track.tuning, track.capo
    return note


def _attributes(element: etree._Element, track: Track) -> None:
    state = track.state
    for child in element:
        if child.tag == "divisions":
            state.divisions = number(child) or state.divisions
        elif child.tag == "key":
            state.fifths = whole(child.find("fifths"))
        elif child.tag == "time":
            state.length = _metre(child)
        elif child.tag == "staves":
            track.staves = max(track.staves, whole(child, 1))
        elif child.tag == "clef" and (text(child, "sign") or "").upper() == "TAB":
            track.tab.add(int(child.get("number") or 1))
        elif child.tag == "transpose":
            amount = whole(child.find("chromatic")) + 12 * whole(child.find("octave-change"))
            track.transpose[int(child.get("number") or 0)] = amount
        elif child.tag == "staff-details":
            _details(child, track)


def _metre(element: etree._Element) -> Quarters | None:
    """The length of a bar; composite metres such as 3+2 are added up."""
    total = ZERO
    for beats, unit in zip(element.iterfind("beats"), element.iterfind("beat-type"), strict=False):
        counts = [int(count) for count in (beats.text or "").split("+") if count.strip().isdecimal()]
        total += Fraction(4 * sum(counts), max(1, whole(unit, 4)))
    return total or None


def _details(element: etree._Element, track: Track) -> None:
    track.capo = whole(element.find("capo"), track.capo)
    lines = {
        int(e.get("line") or 0): pitch
        for e in element.iterfind("staff-tuning")
        if (pitch := midi(e, "tuning-")) is not None
    }
    if lines:
        track.tab.add(int(element.get("number") or 1))
        track.tuning = {len(lines) + 1 - line: pitch for line, pitch in lines.items()}


def midi(element: etree._Element | None, prefix: str = "") -> int | None:
    """The MIDI number of a pitch as written; None where there is no whole one."""
    step = text(element, f"{prefix}step") if element is not None else None
    if element is None or step not in _SEMITONES:
        return None
    alter, octave = number(element.find(f"{prefix}alter")), element.find(f"{prefix}octave")
    if octave is None or alter.denominator != 1:
        return None
    return 12 * (whole(octave) + 1) + _SEMITONES[step] + int(alter)


def length(element: etree._Element, divisions: Fraction) -> Quarters:
    """The ``duration`` of an element in quarter notes."""
    return number(element.find("duration")) / divisions


def text(element: etree._Element, path: str) -> str | None:
    """The text of a child, without white space around it."""
    found = element.findtext(path)
    return found.strip() if found is not None else None


def number(element: etree._Element | None) -> Fraction:
    """The number that an element holds; 0 where it holds none."""
    try:
        return Fraction((element.text or "").strip()) if element is not None else ZERO
    except (ValueError, ZeroDivisionError):
        return ZERO


def whole(element: etree._Element | None, default: int = 0) -> int:
    """The whole number that an element holds, else the default."""
    try:
        return int((element.text or "").strip()) if element is not None else default
    except ValueError:
        return default
