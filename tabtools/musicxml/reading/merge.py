"""Two staves with the same music, notation and tab, become one: keyed by onset and sounding pitch."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable

from tabtools.musicxml.located import Ticks
from tabtools.musicxml.marks import SPAN_WORDS
from tabtools.musicxml.reading.state import RawBar, RawEvent, Struck
from tabtools.score import Bar, Event, Instrument, Note, Quarters, Words
from tabtools.techniques import ordered

_BEFORE = Quarters(-1)

_Key = tuple[Quarters, bool, int | None]


def finished(raw: RawBar, tab: frozenset[int], instrument: Instrument) -> Bar:
    """The bar with one event for each chord. ``tab`` are the staves that copy the others.

    ``instrument`` is the part's; the bar names its own where it has another.
    """
    events = _merged(raw.events, tab) if tab else raw.events
    if tab or raw.rewound:
        events = sorted(events, key=_in_time)
    done = [event.event() for event in events]
    return Bar(
        raw.located.number,
        raw.time,
        raw.key,
        tuple(done),
        tuple(raw.harmonies),
        _remarks(raw.words, done) if raw.words else (),
        raw.pickup,
        raw.repeat_start,
        raw.repeat_times,
        raw.endings,
        raw.section,
        raw.tempo,
        raw.label,
        raw.spans,
        tuple(raw.inferred),
        None if raw.instrument is instrument or raw.instrument == instrument else raw.instrument,
    )


def _in_time(event: RawEvent) -> tuple[Ticks, bool]:
    return event.ticks, not event.grace


def _merged(events: list[RawEvent], tab: frozenset[int]) -> list[RawEvent]:
    notation = [event for event in events if event.staff not in tab]
    copies = [event for event in events if event.staff in tab]
    return notation + _merge(notation, copies) if notation else copies


def same_music(one: Iterable[RawBar], other: Iterable[RawBar]) -> bool:
    """Whether two parts have the same notes at the same places, in whatever octave."""
    first, second = _census(one), _census(other)
    return bool(first) and first == second


def _census(bars: Iterable[RawBar]) -> Counter[tuple[int, Quarters, bool, int | None]]:
    return Counter(
        (place, event.onset, event.grace, None if struck.midi is None else struck.midi % 12)
        for place, raw in enumerate(bars)
        for event in raw.events
        for struck in event.notes
    )


def _merge(notation: list[RawEvent], copies: list[RawEvent]) -> list[RawEvent]:
    """Give the notation the strings and frets of its copies; what has no original is left over."""
    alone = [(event, place) for event in notation for place in range(len(event.notes))]
    # An octave's difference is a slip of the file's transposition, so those copies are known all the same;
    # and a harmonic may have the pitch that is heard on one staff, the one that is touched on the other.
    for modulus in (0, 12, 1):
        waiting: defaultdict[_Key, list[tuple[RawEvent, Struck]]] = defaultdict(list)
        for event in copies:
            for struck in event.notes:
                waiting[_key(event, struck, modulus)].append((event, struck))
        if waiting:
            alone = [pair for pair in alone if not _paired(*pair, waiting, modulus)]
    return _left_over(notation, [event for event in copies if event.notes])


def _paired(
    event: RawEvent, place: int, waiting: dict[_Key, list[tuple[RawEvent, Struck]]], modulus: int
) -> bool:
    """Whether a note found its copy, which it takes over. One with a string of its own wants the same."""
    struck = event.notes[place]
    found = waiting.get(_key(event, struck, modulus), [])
    match = next((pair for pair in found if struck.note.string in (None, pair[1].note.string)), None)
    if match is None:
        return False
    copy, twin = match
    found.remove(match)
    copy.notes.remove(twin)
    event.notes[place] = Struck(_one(struck.note, twin.note), twin.pitch)
    return True


def _key(event: RawEvent, struck: Struck, modulus: int) -> _Key:
    midi = struck.midi
    if modulus and midi is not None and (modulus > 1 or struck.note.has("harmonic", "artificial", "pinch")):
        midi %= modulus
    return event.onset, event.grace, midi


def _one(note: Note, tab: Note) -> Note:
    """The two copies of a note as one: the tab's place, whatever either says of the playing."""
    both = {technique.name: technique for technique in (*note.techniques, *tab.techniques)}
    return tab._replace(
        pitch=tab.pitch
        if tab.pitch is None or note.pitch is None or _octave_apart(note, tab)
        else note.pitch,
        techniques=ordered(both.values()),
        finger=note.finger or tab.finger,
        tied=note.tied or tab.tied,
    )


def _octave_apart(note: Note, tab: Note) -> bool:
    return note.pitch is not None and tab.pitch is not None and note.pitch.midi != tab.pitch.midi


def _left_over(notation: list[RawEvent], copies: list[RawEvent]) -> list[RawEvent]:
    """Tab notes without an original go to the voice of the same rank on the notation staff."""
    originals = sorted({event.voice for event in notation})
    voices = sorted({event.voice for event in copies})
    for event in copies:
        rank = voices.index(event.voice)
        event.voice = originals[rank] if rank < len(originals) else originals[-1] + rank
    return copies


def _remarks(words: list[Words], events: list[Event]) -> tuple[Words, ...]:
    """The words without those that only draw a technique which the notes from there on say anyway."""
    drawn: dict[str, Quarters] = {}
    for event in events:
        for technique in (technique for note in event.notes for technique in note.techniques):
            if technique.name in SPAN_WORDS:
                drawn[SPAN_WORDS[technique.name]] = event.onset
    return tuple(remark for remark in words if drawn.get(remark.text, _BEFORE) < remark.onset)
