"""One ``note`` set down in its bar: with others in a chord or as a new event, with the pitch that sounds."""

from __future__ import annotations

from fractions import Fraction
from typing import cast

from lxml import etree

from tabtools.musicxml.reading.notes import Scan, scan
from tabtools.musicxml.reading.spans import ElementSpan
from tabtools.musicxml.reading.state import RawBar, RawEvent, State, Struck, simple
from tabtools.musicxml.reading.values import Ticks, line_of, text_of
from tabtools.score import ZERO, Note, Pitch, Quarters
from tabtools.source import Span, UnreadableError
from tabtools.theory.duration import TYPES
from tabtools.theory.spelling import spell

_MOST_DOTS = 4


def place_note(element: etree._Element, raw: RawBar, state: State) -> None:
    """Add a ``note`` to its bar and move the cursor on. Cue notes only take their time.

    Raises UnreadableError for a negative duration.
    """
    found = scan(element)
    found.chord = found.chord and bool(raw.events)
    duration = _duration(found, element, raw, state)
    if found.cue:
        state.clock.now += 0 if found.chord else duration
        return
    span = state.places.of(element)
    event = _chord(found, raw, state) if found.chord else None
    if event is None:
        event = _event(found, duration, state, span)
        raw.events.append(event)
        if not found.chord:
            state.clock.now += duration
    elif event.span is not None and span is not None:
        event.span = cast(ElementSpan, event.span).up_to(cast(ElementSpan, span))
    if not found.rest:
        struck = _struck(found, state, span)
        event.notes.append(struck)
        if struck.bundle and (not raw.bundled or raw.bundled[-1] is not event):
            raw.bundled.append(event)


def _duration(found: Scan, element: etree._Element, raw: RawBar, state: State) -> Ticks:
    """The length in divisions; if the file leaves it out, as the note is written. A grace note has none."""
    if found.grace:
        return 0
    if found.duration is None:
        length = raw.time.length if found.whole_bar else _written(element, found)
        return simple(length * state.clock.divisions)
    if found.duration < 0:
        raise UnreadableError("a note lasts less than nothing", line_of(element))
    return found.duration


def _written(element: etree._Element, found: Scan) -> Quarters:
    """The length in quarters that type, dots and tuplet show; 0 without a type."""
    length = TYPES.get(text_of(element.find("type")), ZERO)
    length *= 2 - Fraction(1, 2 ** min(len(element.findall("dot")), _MOST_DOTS))
    return length if found.tuplet is None else length * found.tuplet.normal / found.tuplet.actual


def _chord(found: Scan, raw: RawBar, state: State) -> RawEvent | None:
    """The event that a chord note joins; None if that one is on the tab staff and the note is not."""
    last = raw.events[-1]
    return last if (last.staff in state.tab) == (found.staff in state.tab) else None


def _event(found: Scan, duration: Ticks, state: State, span: Span | None) -> RawEvent:
    clock = state.clock
    start = clock.now
    if found.chord:
        start = max(0, start - duration)
    length = clock.quarters(duration)
    return RawEvent(
        start, clock.quarters(start), length, found.staff, found.voice, found.grace, found.tuplet, span
    )


def unbundle(event: RawEvent) -> None:
    """Keep only the stopped note of an artificial harmonic that is written as three."""
    if any(struck.bundle == "base-pitch" for struck in event.notes):
        event.notes = [s for s in event.notes if s.bundle not in ("touching-pitch", "sounding-pitch")]


def _struck(found: Scan, state: State, span: Span | None) -> Struck:
    if state.mute:
        found.add("palm-mute")
    techniques = found.techniques()
    pitch = _pitch(found, state)
    sounding, fret = pitch, found.fret
    if techniques and found.has("dead"):
        sounding = fret = None
    note = Note(found.string, fret, sounding, techniques, found.finger, found.tied, span)
    return Struck(note, pitch, found.harmonic if found.harmonic and found.has("artificial") else "")


def _pitch(found: Scan, state: State) -> Pitch | None:
    """The sounding pitch: as written and transposed, else that of string and fret."""
    pitch = found.pitch
    fretted = None if found.string is None or found.fret is None else _fretted(found, state)
    if pitch is None:
        return None if fretted is None else spell(fretted, state.key)
    if fretted is not None:
        if found.staff in state.tab and fretted == pitch.midi:
            # A transposition meant for the notation staff leaves tab alone that is right as it is.
            return pitch
        if found.has("harmonic") or found.has("artificial"):
            # What is written may be the open string, or what is heard: the score has what is touched.
            return spell(fretted, state.key)
    moved = state.transpositions.get(found.staff)
    return pitch if moved is None else moved.sounding(pitch)


def _fretted(found: Scan, state: State) -> int | None:
    """The MIDI number of a note's string and fret, where the instrument has the string."""
    string, fret = found.string, found.fret
    assert string is not None
    assert fret is not None
    known = 1 <= string <= len(state.instrument.tuning)
    return state.instrument.midi(string, fret) if known else None
