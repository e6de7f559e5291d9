"""Notes that are let ring, as long as they sound: tab says where a string is struck, not for how long."""

from __future__ import annotations

from collections.abc import Iterator

from tabtools.score import Bar, Event, Note, Quarters, Score


def hold(score: Score) -> Score:
    """The score with every note that is let ring lasting until its string is struck again, until notes come
    that do not ring, or to the end of its bar. Notes of one event that end apart become events of their own.
    """
    parts = (part._replace(bars=tuple(_held(bar) for bar in part.bars)) for part in score.parts)
    return score._replace(parts=tuple(parts))


def _held(bar: Bar) -> Bar:
    return bar._replace(events=tuple(one for event in bar.events for one in _by_length(event, bar)))


def _by_length(event: Event, bar: Bar) -> Iterator[Event]:
    """The event once for each length that its notes have, shortest first."""
    written = event.onset + event.duration
    ends = {note: max(written, _end(note, event, bar)) for note in event.notes if not event.grace}
    if set(ends.values()) <= {written}:
        yield event
        return
    for end in sorted(set(ends.values())):
        notes = tuple(note for note in event.notes if ends[note] == end)
        tuplet = event.tuplet if end == written else None
        yield event._replace(duration=end - event.onset, notes=notes, tuplet=tuplet)


def _end(note: Note, event: Event, bar: Bar) -> Quarters:
    """Where the sound of a note ends in its bar."""
    if note.string is None or not note.has("let-ring"):
        return event.onset + event.duration
    later = (other for other in bar.events if other.onset > event.onset and other.notes)
    return min((other.onset for other in later if _stops(other, note)), default=bar.length)


def _stops(event: Event, note: Note) -> bool:
    """Whether an event strikes the string of a note, or is one that does not ring."""
    return any(other.string == note.string or not other.has("let-ring") for other in event.notes)
