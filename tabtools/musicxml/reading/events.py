"""One ``note`` set down in its bar: with others in a chord or as a new event, with the pitch that sounds."""

from __future__ import annotations

from typing import cast

from lxml import etree

from tabtools.musicxml.extents import ElementSpan
from tabtools.musicxml.located import LocatedNote, Ticks
from tabtools.musicxml.reading.notes import scan
from tabtools.musicxml.reading.state import RawBar, RawEvent, State, Struck, simple
from tabtools.musicxml.reading.staves import sounding
from tabtools.musicxml.reading.values import count
from tabtools.score import ZERO, Note, Pitch
from tabtools.source import Span
from tabtools.theory.spelling import spell


def place_note(element: etree._Element, raw: RawBar, state: State) -> None:
    """Add a ``note`` to its bar and move the cursor on. Cue notes only take their time."""
    clock = state.clock
    note = scan(element)
    note.bar, note.in_force = raw.located.number, state.in_force(note.staff)
    raw.located.notes.append(note)
    if note.faulty:
        state.faulty += note.faulty
    duration = _duration(note, raw, state)
    note.duration = clock.quarters(duration)
    joined = raw.events[-1] if note.chord and raw.events else None
    start = clock.now if joined is None else joined.ticks
    note.onset = clock.quarters(start)
    if joined is None:
        clock.now += duration
    if note.cue:
        return
    span = state.extents.span(element)
    # A chord note that is not on tab begins an event of its own where the one before is on tab.
    if joined is None or (joined.staff in state.tab) != note.in_force.tab:
        voice = count(note.voice) or 1
        event = RawEvent(start, note.onset, note.duration, note.staff, voice, note.grace, note.tuplet, span)
        raw.events.append(event)
    else:
        event = joined
        event.span = cast(ElementSpan, event.span).up_to(span)
    if not note.rest:
        struck = _struck(note, state, span)
        event.notes.append(struck)
        if struck.bundle and (not raw.bundled or raw.bundled[-1] is not event):
            raw.bundled.append(event)


def _duration(note: LocatedNote, raw: RawBar, state: State) -> Ticks:
    """The length in divisions; if the file leaves it out, as the note is written. A grace note has none."""
    if note.grace:
        return 0
    if note.ticks is None:
        length = raw.time.length if note.whole_bar else note.written_length or ZERO
        return simple(length * state.clock.divisions)
    return note.ticks


def unbundle(event: RawEvent) -> None:
    """Keep only the stopped note of an artificial harmonic that is written as three."""
    if any(struck.bundle == "base-pitch" for struck in event.notes):
        event.notes = [s for s in event.notes if s.bundle not in ("touching-pitch", "sounding-pitch")]


def _struck(located: LocatedNote, state: State, span: Span | None) -> Struck:
    if state.mute:
        located.add("palm-mute")
    if located.unpitched and (located.string is None or located.fret is None):
        located.add("dead")
    techniques = located.techniques()
    pitch = _pitch(located)
    heard, fret = pitch, located.fret
    if techniques and located.has("dead"):
        heard = fret = None
    note = Note(located.string, fret, heard, techniques, located.finger, located.tied, span)
    return Struck(note, pitch, located.harmonic if located.harmonic and located.has("artificial") else "")


def _pitch(note: LocatedNote) -> Pitch | None:
    """The sounding pitch: as written and transposed, else that of string and fret."""
    pitch, in_force = note.pitch, note.in_force
    fretted = None if note.string is None or note.fret is None else _fretted(note)
    if pitch is None:
        return None if fretted is None else spell(fretted, in_force.key)
    if fretted is not None:
        if in_force.tab and fretted == pitch.midi:
            # A transposition meant for the notation staff leaves tab alone that is right as it is.
            return pitch
        if note.has("harmonic", "artificial"):
            # What is written may be the open string, or what is heard: the score has what is touched.
            return spell(fretted, in_force.key)
    return sounding(pitch, in_force.transposition)


def _fretted(note: LocatedNote) -> int | None:
    """The MIDI number of a note's string and fret, where the instrument, known or guessed, has the string."""
    string, fret, instrument = note.string, note.fret, note.in_force.instrument
    assert string is not None
    assert fret is not None
    return instrument.midi(string, fret) if 1 <= string <= len(instrument.tuning) else None
