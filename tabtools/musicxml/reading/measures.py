"""One ``measure``: the cursor walks through it and everything is set down where it stands in time."""

from __future__ import annotations

from collections.abc import Callable

from lxml import etree

from tabtools.musicxml.located import Ticks
from tabtools.musicxml.reading import directions
from tabtools.musicxml.reading.barlines import barline
from tabtools.musicxml.reading.events import place_note, unbundle
from tabtools.musicxml.reading.meter import free_time, read_key, read_time
from tabtools.musicxml.reading.state import RawBar, State, simple
from tabtools.musicxml.reading.staves import retuned, retuned_strings, transposition
from tabtools.musicxml.reading.values import line_of, staff_number, text_of, ticks, whole
from tabtools.score import Harmony, Inferred, Words
from tabtools.source import UnreadableError

# In quarter notes; a whole song in a bar without metre is far below it.
_LONGEST_BAR = 10_000


def read_measure(element: etree._Element, content: etree._Element, number: int, state: State) -> RawBar:
    """Read the measure that is number ``number`` of its part, counted from 1; ``state`` moves on.

    ``content`` holds the music: the measure itself, or in a timewise file the part within it. Raises
    UnreadableError for a bar that lasts longer than any music does.
    """
    label = element.get("number") or None
    raw = state.next_bar(number, None if label == str(number) else label, element, content)
    for child in content:
        handler = _HANDLERS.get(child.tag)
        if handler is not None:
            handler(child, raw, state)
            if state.clock.now > raw.end:
                raw.end = state.clock.now
    for event in raw.bundled:
        unbundle(event)
    if raw.end > _LONGEST_BAR * state.clock.divisions:
        reason = f"a bar lasts more than {_LONGEST_BAR} quarter notes: check <divisions> and <duration>"
        raise UnreadableError(reason, line_of(element))
    _measured(raw, state)
    implicit = element.get("implicit") == "yes"
    if implicit or (number == 1 and label == "0"):
        short = raw.located.end < raw.time.length
        raw.pickup = raw.located.pickup = short or (number == 1 and implicit)
    if raw.free and raw.end:
        raw.time = free_time(raw.located.end)
    return raw


def _measured(raw: RawBar, state: State) -> None:
    """Note in the located bar how long it is, and where its elements end."""
    bar, clock = raw.located, state.clock
    bar.length = None if state.free else state.time.length
    bar.divisions, bar.now, bar.end = (
        clock.divisions,
        clock.quarters(clock.now),
        clock.quarters(raw.end),
    )


def _backup(element: etree._Element, raw: RawBar, state: State) -> None:
    state.clock.now = max(0, state.clock.now - _moved(element))
    raw.rewound = True


def _forward(element: etree._Element, raw: RawBar, state: State) -> None:
    state.clock.now += max(0, _moved(element))


def _moved(element: etree._Element) -> Ticks:
    return ticks(element.find("duration")) or 0


def _attributes(element: etree._Element, raw: RawBar, state: State) -> None:
    """What changes here. After the bar's notes it is the next bar that begins with it."""
    for child in element:
        handler = _ATTRIBUTES.get(child.tag)
        if handler is not None:
            handler(child, raw, state)
    state.changed()
    if not raw.events or not state.clock.now:
        raw.instrument, raw.key, raw.time, raw.free = state.instrument, state.key, state.time, state.free


def _divisions(element: etree._Element, raw: RawBar, state: State) -> None:
    divisions = ticks(element)
    if divisions is None or divisions <= 0:
        state.faulty.append(element)
    elif divisions != state.clock.divisions:
        ratio = state.clock.count_in(divisions)
        raw.end = simple(raw.end * ratio)
        for event in raw.events:
            event.ticks = simple(event.ticks * ratio)


def _key(element: etree._Element, raw: RawBar, state: State) -> None:
    if element.get("number") in (None, "1"):
        state.key, inferred = read_key(element)
        raw.inferred += inferred
    state.sign(_staff_or_all(element), whole(element.find("fifths")))


def _staff_or_all(element: etree._Element) -> int:
    """The staff that an element is for, 0 where it is for all of them."""
    return 0 if element.get("number") is None else staff_number(element)


def _time(element: etree._Element, raw: RawBar, state: State) -> None:
    if element.get("number") not in (None, "1"):
        return
    state.free = element.find("senza-misura") is not None
    if state.free:
        raw.inferred.append(Inferred("metre", "free time: the bar is as long as its notes", 0.5))
        return
    time = read_time(element)
    if time is None:
        state.faulty.append(element)
    else:
        state.time = time


def _staves(element: etree._Element, raw: RawBar, state: State) -> None:
    state.staves = max(state.staves, whole(element, 1))


def _clef(element: etree._Element, raw: RawBar, state: State) -> None:
    state.clef(staff_number(element), text_of(element.find("sign")).upper())


def _transpose(element: etree._Element, raw: RawBar, state: State) -> None:
    state.transpose(_staff_or_all(element), transposition(element))


def _staff_details(element: etree._Element, raw: RawBar, state: State) -> None:
    staff = staff_number(element)
    if staff not in state.tab and state.tab and element.find("staff-tuning") is not None:
        return
    state.retune(staff, retuned(state.instrument_of(staff), element))


def _direction(element: etree._Element, raw: RawBar, state: State) -> None:
    read = directions.direction(element)
    onset = state.clock.quarters(max(0, state.clock.now + read.offset))
    span = state.extents.span(element)
    sections = list(read.sections)
    if sections and raw.section is None:
        raw.section = sections.pop(0)
    texts = (" ".join(read.words), *sections)
    raw.words += [Words(onset, text, span) for text in texts if text]
    for strings in read.scordaturas:
        state.retune(read.staff, retuned_strings(state.instrument_of(read.staff), strings))
        if not raw.events:
            raw.instrument = state.instrument
    if raw.tempo is None and (read.metronome is not None or read.sound is not None):
        raw.tempo = directions.tempo(read.metronome, read.sound, span)
    if read.sound is not None:
        _played(read.sound, state)


def _sound(element: etree._Element, raw: RawBar, state: State) -> None:
    """A ``sound`` that stands alone."""
    if raw.tempo is None:
        raw.tempo = directions.tempo(None, element, state.extents.span(element))
    _played(element, state)


def _played(sound: etree._Element, state: State) -> None:
    """Palm muting until further notice."""
    mute = next(sound.iter("mute"), None)
    if mute is not None:
        state.mute = text_of(mute) == "palm"


def _harmony(element: etree._Element, raw: RawBar, state: State) -> None:
    symbol = directions.chord_symbol(element)
    if symbol is not None:
        onset = state.clock.quarters(max(0, state.clock.now + directions.offset(element)))
        raw.harmonies.append(Harmony(onset, symbol, state.extents.span(element)))


def _barline(element: etree._Element, raw: RawBar, state: State) -> None:
    state.passes = barline(element, raw, state.passes)


_Handler = Callable[[etree._Element, RawBar, State], None]

_HANDLERS: dict[str, _Handler] = {
    "note": place_note,
    "backup": _backup,
    "forward": _forward,
    "attributes": _attributes,
    "direction": _direction,
    "sound": _sound,
    "harmony": _harmony,
    "barline": _barline,
}
_ATTRIBUTES: dict[str, _Handler] = {
    "divisions": _divisions,
    "key": _key,
    "time": _time,
    "staves": _staves,
    "clef": _clef,
    "transpose": _transpose,
    "staff-details": _staff_details,
}
