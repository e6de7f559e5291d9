"""What must survive a way through MusicXML, in a form in which two scores can be compared."""

from __future__ import annotations

from typing import Any

from tabtools.score import Bar, Event, Note, Part, Score


def essence(score: Score) -> list[Any]:
    """All that is heard or read: everything but spans, labels, marks of inference, and rests.

    Ties within a bar are joined, because a length that no single note value has is written as several.
    """
    return [score.title, score.composer, *map(_part, score.parts)]


def _part(part: Part) -> tuple[Any, ...]:
    instrument = part.instrument
    return part.name, instrument.name, instrument.tuning, instrument.capo, [_bar(bar) for bar in part.bars]


def _bar(bar: Bar) -> dict[str, Any]:
    return {
        "number": bar.number,
        "time": bar.time,
        "key": bar.key,
        "pickup": bar.pickup,
        "repeat": (bar.repeat_start, bar.repeat_times, bar.endings),
        "section": bar.section,
        "tempo": bar.tempo and (bar.tempo.per_minute, bar.tempo.beat),
        "harmonies": [(harmony.onset, harmony.symbol) for harmony in bar.harmonies],
        "words": [(words.onset, words.text) for words in bar.words],
        "notes": sorted((_event(event) for event in joined(bar) if event.notes), key=repr),
    }


def _event(event: Event) -> tuple[Any, ...]:
    notes = sorted(map(_note, event.notes), key=repr)
    return event.onset, event.duration, event.grace, event.voice, notes


def _note(note: Note) -> tuple[Any, ...]:
    techniques = sorted(technique.word for technique in note.techniques)
    return note.string, note.fret, note.pitch, techniques, note.finger, note.tied


def joined(bar: Bar) -> list[Event]:
    """The events of a bar with those that only continue the one before made one with it."""
    events: list[Event] = []
    for event in sorted(bar.events, key=lambda event: (event.voice, event.onset, not event.grace)):
        if events and _continues(events[-1], event):
            events[-1] = _join(events[-1], event)
        else:
            events.append(event)
    return events


def _continues(before: Event, event: Event) -> bool:
    follows = before.voice == event.voice and before.onset + before.duration == event.onset
    same = [(n.string, n.pitch) for n in before.notes] == [(n.string, n.pitch) for n in event.notes]
    return bool(follows and same and event.notes and all(n.tied for n in event.notes) and not before.grace)


def _join(before: Event, event: Event) -> Event:
    notes = tuple(
        first._replace(techniques=tuple(dict.fromkeys((*first.techniques, *second.techniques))))
        for first, second in zip(before.notes, event.notes, strict=True)
    )
    return before._replace(duration=before.duration + event.duration, notes=notes)
