"""One ``measure``: the cursor walks through it and everything is set down where it stands in time."""

from __future__ import annotations

from collections.abc import Callable

from lxml import etree

from tabtools.musicxml.reading import directions
from tabtools.musicxml.reading.barlines import barline
from tabtools.musicxml.reading.events import place_note, unbundle
from tabtools.musicxml.reading.meter import free_time, read_key, read_time
from tabtools.musicxml.reading.state import RawBar, State, simple
from tabtools.musicxml.reading.staves import retuned, retuned_strings, transposition
from tabtools.musicxml.reading.values import Ticks, line_of, staff_number, text_of, ticks
from tabtools.score import Harmony, Inferred, Quarters, Words
from tabtools.source import UnreadableError

# In quarter notes; a whole song in a bar without metre is far below it.
_LONGEST_BAR = 10_000


def read_measure(element: etree._Element, place: int, state: State) -> RawBar:
    """Read the measure that is number ``place`` of its part, counted from 1; ``state`` moves on."""
    label = element.get("number") or None
    raw = state.next_bar(place, None if label == str(place) else label, state.places.of(element))
    for child in element:
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
    implicit = element.get("implicit") == "yes"
    if implicit or (place == 1 and label == "0"):
        short = state.clock.quarters(raw.end) < raw.time.length
        raw.pickup = short or (place == 1 and implicit)
    if raw.free and raw.end:
        raw.time = free_time(state.clock.quarters(raw.end))
    return raw


def _backup(element: etree._Element, raw: RawBar, state: State) -> None:
    state.clock.now = max(0, state.clock.now - _moved(element))
    raw.rewound = True


def _forward(element: etree._Element, raw: RawBar, state: State) -> None:
    state.clock.now += max(0, _moved(element))


def _moved(element: etree._Element) -> Ticks:
    duration = element.find("duration")
    return ticks(duration) if duration is not None else 0


def _attributes(element: etree._Element, raw: RawBar, state: State) -> None:
    """What changes here. After the bar's notes it is the next bar that begins with it."""
    for child in element:
        handler = _ATTRIBUTES.get(child.tag)
        if handler is not None:
            handler(child, raw, state)
    if not raw.events or not state.clock.now:
        raw.instrument, raw.key, raw.time, raw.free = state.instrument, state.key, state.time, state.free


def _divisions(element: etree._Element, raw: RawBar, state: State) -> None:
    divisions = ticks(element)
    if divisions <= 0:
        raise UnreadableError("<divisions> must be more than 0", line_of(element))
    if divisions != state.clock.divisions:
        ratio = state.clock.count_in(divisions)
        raw.end = simple(raw.end * ratio)
        for event in raw.events:
            event.ticks = simple(event.ticks * ratio)


def _key(element: etree._Element, raw: RawBar, state: State) -> None:
    if element.get("number") in (None, "1"):
        state.key, inferred = read_key(element)
        raw.inferred += inferred


def _time(element: etree._Element, raw: RawBar, state: State) -> None:
    if element.get("number") in (None, "1"):
        state.time, state.free = read_time(element, state.time)
        if state.free:
            raw.inferred.append(Inferred("metre", "free time: the bar is as long as its notes", 0.5))


def _transpose(element: etree._Element, raw: RawBar, state: State) -> None:
    staves = range(1, 9) if element.get("number") is None else (staff_number(element),)
    state.transpositions.update(dict.fromkeys(staves, transposition(element)))


def _staff_details(element: etree._Element, raw: RawBar, state: State) -> None:
    state.instrument = retuned(state.instrument, element, state.tab)


def _direction(element: etree._Element, raw: RawBar, state: State) -> None:
    onset = _onset(element, state)
    span = state.places.of(element)
    texts = [directions.words(element)]
    marks = directions.sections(element)
    if marks and raw.section is None:
        raw.section = marks.pop(0)
    raw.words += [Words(onset, text, span) for text in (*texts, *marks) if text]
    for strings in element.iterfind("direction-type/scordatura"):
        state.instrument = retuned_strings(state.instrument, strings)
        if not raw.events:
            raw.instrument = state.instrument
    _sound(element, raw, state)


def _sound(element: etree._Element, raw: RawBar, state: State) -> None:
    """Tempo, and palm muting until further notice."""
    if raw.tempo is None:
        raw.tempo = directions.tempo(element, state.places.of(element))
    mute = next(element.iter("mute"), None)
    if mute is not None:
        state.mute = text_of(mute) == "palm"


def _harmony(element: etree._Element, raw: RawBar, state: State) -> None:
    symbol = directions.chord_symbol(element)
    if symbol is not None:
        raw.harmonies.append(Harmony(_onset(element, state), symbol, state.places.of(element)))


def _onset(element: etree._Element, state: State) -> Quarters:
    return state.clock.quarters(max(0, state.clock.now + directions.offset(element)))


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
    "transpose": _transpose,
    "staff-details": _staff_details,
}
