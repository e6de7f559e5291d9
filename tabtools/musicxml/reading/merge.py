"""Two staves with the same music, notation and tab, become one: keyed by onset and sounding pitch."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable
from dataclasses import replace

from tabtools.musicxml.marks import SPAN_WORDS
from tabtools.musicxml.reading.measures import RawBar, RawEvent, Struck
from tabtools.score import Bar, Event, Note, Quarters, Words
from tabtools.techniques import ordered

_BEFORE = Quarters(-1)

_Key = tuple[Quarters, bool, int | None]


def finished(raw: RawBar, tab: frozenset[int]) -> Bar:
    """The bar with one event for each chord. ``tab`` are the staves that copy the others."""
    for event in raw.events:
        _unbundle(event)
    notation = [event for event in raw.events if event.staff not in tab]
    copies = [event for event in raw.events if event.staff in tab]
    if notation:
        copies = _merge(notation, copies)
    events = sorted(map(_event, notation + copies), key=lambda event: (event.onset, not event.grace))
    return replace(
        raw.bar, events=tuple(events), harmonies=tuple(raw.harmonies), words=_remarks(raw.words, events)
    )


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


def _unbundle(event: RawEvent) -> None:
    """Keep only the stopped note of an artificial harmonic that is written as three."""
    if any(struck.bundle == "base-pitch" for struck in event.notes):
        event.notes = [s for s in event.notes if s.bundle not in ("touching-pitch", "sounding-pitch")]


def _merge(notation: list[RawEvent], copies: list[RawEvent]) -> list[RawEvent]:
    """Give the notation the strings and frets of its copies; what has no original is left over."""
    # An octave's difference is a slip of the file's transposition, so those copies are known all the same.
    for octave in (0, 12):
        waiting: defaultdict[_Key, list[tuple[RawEvent, Struck]]] = defaultdict(list)
        for event in copies:
            for struck in event.notes:
                waiting[_key(event, struck, octave)].append((event, struck))
        for event in notation:
            for place, struck in enumerate(event.notes):
                found = waiting.get(_key(event, struck, octave))
                if struck.note.string is None and found:
                    copy, twin = found.pop(0)
                    event.notes[place] = Struck(_one(struck.note, twin.note), twin.midi)
                    copy.notes.remove(twin)
    return _left_over(notation, [event for event in copies if event.notes])


def _key(event: RawEvent, struck: Struck, octave: int) -> _Key:
    midi = struck.midi
    return event.onset, event.grace, midi % octave if octave and midi is not None else midi


def _one(note: Note, tab: Note) -> Note:
    """The two copies of a note as one: the tab's place, whatever either says of the playing."""
    both = {technique.name: technique for technique in (*note.techniques, *tab.techniques)}
    return replace(
        tab,
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


def _event(raw: RawEvent) -> Event:
    notes = tuple(struck.note for struck in raw.notes)
    return Event(raw.onset, raw.duration, notes, raw.grace, raw.tuplet, raw.voice, raw.span)


def _remarks(words: list[Words], events: list[Event]) -> tuple[Words, ...]:
    """The words without those that only draw a technique which the notes from there on say anyway."""
    drawn: dict[str, Quarters] = {}
    for event in events:
        for technique in (technique for note in event.notes for technique in note.techniques):
            if technique.name in SPAN_WORDS:
                drawn[SPAN_WORDS[technique.name]] = event.onset
    return tuple(remark for remark in words if drawn.get(remark.text, _BEFORE) < remark.onset)
