"""Notes that are let ring, as long as they sound: tab says where a string is struck, not for how long."""

from __future__ import annotations

from collections.abc import Iterator

from tabtools.score import Event, Part, Quarters, Score
from tabtools.timeline import NoteIndex, moments

_Lengths = dict[NoteIndex, Quarters]


def hold(score: Score) -> Score:
    """The score with every note that is let ring lasting until its string is struck again, until notes come
    that do not ring, or to the end of its bar. Notes of one event that end apart become events of their own.
    """
    return score._replace(parts=tuple(map(_held, score.parts)))


def _held(part: Part) -> Part:
    longer = {
        sound.where: sound.stops - sound.start
        for moment in moments(part)
        for sound in moment.struck
        if sound.note.has("let-ring") and sound.stops > sound.end and not moment.grace
    }
    bars = []
    for place, bar in enumerate(part.bars):
        events = [
            piece
            for number, event in enumerate(bar.events)
            for piece in _by_length(
                event, [longer.get(NoteIndex(place, number, row)) for row in range(len(event.notes))]
            )
        ]
        bars.append(bar._replace(events=tuple(events)))
    return part._replace(bars=tuple(bars))


def _by_length(event: Event, lengths: list[Quarters | None]) -> Iterator[Event]:
    """The event once for each length that its notes have, shortest first; None is the length as written."""
    durations = [event.duration if length is None else length for length in lengths]
    if set(durations) <= {event.duration}:
        yield event
        return
    for duration in sorted(set(durations)):
        notes = tuple(note for note, lasts in zip(event.notes, durations, strict=True) if lasts == duration)
        tuplet = event.tuplet if duration == event.duration else None
        yield event._replace(duration=duration, notes=notes, tuplet=tuplet)
