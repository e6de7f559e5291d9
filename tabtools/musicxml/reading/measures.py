"""One ``measure``: the cursor walks through it and everything is set down where it stands in time."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from fractions import Fraction
from functools import lru_cache

from lxml import etree

from tabtools.musicxml.reading import directions
from tabtools.musicxml.reading.barlines import barline
from tabtools.musicxml.reading.meter import read_key, read_time
from tabtools.musicxml.reading.notes import Scan, scan
from tabtools.musicxml.reading.staves import Spans, Transposition, transposition
from tabtools.musicxml.reading.values import line_of, number, staff_number, text_of
from tabtools.score import (
    COMMON_TIME,
    ZERO,
    Bar,
    Harmony,
    Inferred,
    Instrument,
    Key,
    Note,
    Quarters,
    TimeSignature,
    Tuplet,
    Words,
)
from tabtools.source import Span, UnreadableError
from tabtools.theory.spelling import spell

_PLAIN = Transposition()


@dataclass(slots=True)
class Struck:
    """A note and the MIDI number by which its two copies are known; a dead note has its open string's."""

    note: Note
    midi: int | None
    bundle: str = ""


@dataclass(slots=True)
class RawEvent:
    """An event as one staff has it."""

    onset: Quarters
    duration: Quarters
    staff: int
    voice: int
    grace: bool
    tuplet: Tuplet | None
    span: Span | None
    notes: list[Struck] = field(default_factory=list)


@dataclass(slots=True)
class RawBar:
    """A bar whose events are still as the staves have them."""

    bar: Bar
    events: list[RawEvent] = field(default_factory=list)
    harmonies: list[Harmony] = field(default_factory=list)
    words: list[Words] = field(default_factory=list)
    free: bool = False
    end: Quarters = ZERO


@dataclass(slots=True)
class State:
    """What stays in force from bar to bar of a part."""

    instrument: Instrument
    spans: Spans
    tab: frozenset[int]
    divisions: Fraction = Fraction(1)
    key: Key | None = None
    time: TimeSignature = COMMON_TIME
    free: bool = False
    mute: bool = False
    passes: tuple[int, ...] = ()
    transpositions: dict[int, Transposition] = field(default_factory=dict)
    now: Quarters = ZERO
    inferred: list[Inferred] = field(default_factory=list)


def read_measure(element: etree._Element, place: int, state: State) -> RawBar:
    """Read the measure that is number ``place`` of its part, counted from 1; ``state`` moves on."""
    label = element.get("number") or None
    span = state.spans.get(element)
    label = None if label == str(place) else label
    raw = RawBar(Bar(place, label=label, endings=state.passes, spans=(span,) if span else ()))
    state.now = ZERO
    state.inferred = []
    for child in element:
        handler = _HANDLERS.get(child.tag)
        if handler:
            handler(child, raw, state)
            raw.end = max(raw.end, state.now)
    implicit = element.get("implicit") == "yes"
    short = raw.end < state.time.length
    pickup = place == 1 and (implicit or (short and label == "0"))
    raw.free = state.free
    raw.bar = replace(
        raw.bar,
        time=_free_time(raw.end) if state.free and raw.end else state.time,
        key=state.key,
        pickup=pickup or (implicit and short),
        inferred=tuple(state.inferred),
    )
    return raw


def _free_time(length: Quarters) -> TimeSignature:
    """A metre as long as a bar that has none."""
    whole = length / 4
    unit = max(4, whole.denominator)
    return TimeSignature(int(whole * unit), unit)


def _note(element: etree._Element, raw: RawBar, state: State) -> None:
    found = scan(element)
    duration = _quarters(found.duration, state.divisions)
    if duration < 0:
        raise UnreadableError("a note lasts less than nothing", line_of(element))
    if found.cue:
        state.now += ZERO if found.chord or found.grace else duration
        return
    if not (found.chord and raw.events):
        raw.events.append(_event(found, duration, state, state.spans.get(element)))
        state.now += ZERO if found.grace else duration
    if not found.rest:
        _strike(raw.events[-1], found, state, state.spans.get(element))


def _event(found: Scan, duration: Quarters, state: State, span: Span | None) -> RawEvent:
    voice = int(found.voice) if found.voice.isdecimal() else 1
    length = ZERO if found.grace else duration
    return RawEvent(state.now, length, found.staff, voice, found.grace, found.tuplet, span)


def _strike(event: RawEvent, found: Scan, state: State, span: Span | None) -> None:
    """Add a note to its event."""
    if state.mute:
        found.names["palm-mute"] = None
    techniques = found.techniques()
    dead = "dead" in found.names
    pitch, fretted = found.pitch, _fretted(found, state)
    if pitch is None and fretted is not None:
        pitch = spell(fretted, state.key)
    elif pitch is not None and not (found.staff in state.tab and fretted == pitch.midi):
        # A transposition meant for the notation staff leaves tab alone that is right as it is.
        pitch = state.transpositions.get(found.staff, _PLAIN).sounding(pitch)
    note = Note(
        found.string,
        None if dead else found.fret,
        None if dead else pitch,
        techniques,
        found.finger,
        found.tied,
        span,
    )
    # The auxiliary notes of an artificial harmonic: where it is touched, and what sounds.
    bundle = found.harmonic if "artificial" in found.names else ""
    event.notes.append(Struck(note, pitch.midi if pitch else None, bundle))
    if event.span and span:
        event.span = Span(event.span.start, max(event.span.end, span.end))


def _fretted(found: Scan, state: State) -> int | None:
    """The MIDI number of a note's string and fret, where it has both."""
    if found.string is None or found.fret is None:
        return None
    known = 1 <= found.string <= len(state.instrument.tuning)
    return state.instrument.midi(found.string, found.fret) if known else None


@lru_cache(maxsize=1024)
def _quarters(duration: Fraction, divisions: Fraction) -> Quarters:
    return duration / divisions


def _backup(element: etree._Element, raw: RawBar, state: State) -> None:
    state.now = max(ZERO, state.now - _moved(element, state))


def _forward(element: etree._Element, raw: RawBar, state: State) -> None:
    state.now += _moved(element, state)


def _moved(element: etree._Element, state: State) -> Quarters:
    duration = element.find("duration")
    return _quarters(number(duration), state.divisions) if duration is not None else ZERO


def _attributes(element: etree._Element, raw: RawBar, state: State) -> None:
    for child in element:
        if child.tag == "divisions":
            state.divisions = number(child)
            if state.divisions <= 0:
                raise UnreadableError("<divisions> must be more than 0", line_of(child))
        elif child.tag == "key" and child.get("number") in (None, "1"):
            state.key, inferred = read_key(child)
            state.inferred += inferred
        elif child.tag == "time" and child.get("number") in (None, "1"):
            state.time, state.free = read_time(child, state.time)
            if state.free:
                state.inferred.append(Inferred("metre", "free time: the bar is as long as its notes", 0.5))
        elif child.tag == "transpose":
            staves = range(1, 9) if child.get("number") is None else (staff_number(child),)
            state.transpositions.update(dict.fromkeys(staves, transposition(child)))


def _direction(element: etree._Element, raw: RawBar, state: State) -> None:
    onset = _onset(element, state)
    span = state.spans.get(element)
    texts = [directions.words(element)]
    marks = directions.sections(element)
    if marks and raw.bar.section is None:
        raw.bar = replace(raw.bar, section=marks.pop(0))
    raw.words += [Words(onset, text, span) for text in (*texts, *marks) if text]
    _sound(element, raw, state)


def _sound(element: etree._Element, raw: RawBar, state: State) -> None:
    """Tempo, and palm muting until further notice."""
    if raw.bar.tempo is None:
        raw.bar = replace(raw.bar, tempo=directions.tempo(element, state.spans.get(element)))
    mute = next(element.iter("mute"), None)
    if mute is not None:
        state.mute = text_of(mute) == "palm"


def _harmony(element: etree._Element, raw: RawBar, state: State) -> None:
    symbol = directions.chord_symbol(element)
    if symbol is not None:
        raw.harmonies.append(Harmony(_onset(element, state), symbol, state.spans.get(element)))


def _onset(element: etree._Element, state: State) -> Quarters:
    return max(ZERO, state.now + _quarters(directions.offset(element), state.divisions))


def _barline(element: etree._Element, raw: RawBar, state: State) -> None:
    raw.bar, state.passes = barline(element, raw.bar, state.passes)


_HANDLERS: dict[str, Callable[[etree._Element, RawBar, State], None]] = {
    "note": _note,
    "backup": _backup,
    "forward": _forward,
    "attributes": _attributes,
    "direction": _direction,
    "sound": _sound,
    "harmony": _harmony,
    "barline": _barline,
}
