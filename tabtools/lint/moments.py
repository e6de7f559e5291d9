"""What the fretting hand does at one moment: the notes of all voices that are struck together."""

from __future__ import annotations

from collections.abc import Iterator

from tabtools.lint.places import span_of
from tabtools.record import NamedTuple
from tabtools.score import Bar, Event, Instrument, Note, Part, Quarters, Score
from tabtools.source import Span

# Played by the picking hand, or without pressing down.
NOT_HELD = ("tap", "harmonic", "artificial")


class Chord(NamedTuple):
    """Notes struck together, more than one. ``down`` are the places that sound, string and fret in order;
    ``spans`` are those of the notes."""

    bar: Bar
    instrument: Instrument
    down: tuple[tuple[int, int], ...]
    spans: tuple[Span, ...]

    @property
    def clashes(self) -> list[tuple[int, list[int]]]:
        """Strings that are to sound at several frets, with the frets."""
        frets: dict[int, list[int]] = {}
        for string, fret in self.down:
            frets.setdefault(string, []).append(fret)
        return [(string, found) for string, found in frets.items() if len(found) > 1]


def pressed(part: Part, note: Note) -> tuple[int, int] | None:
    """String and fret of a note that a finger of the fretting hand presses down; None for any other.

    A fret beyond the neck is a slip of its own and says nothing of the hand.
    """
    if note.string is None or not note.fret or note.has(*NOT_HELD):
        return None
    on_neck = note.fret + part.instrument.capo <= part.instrument.frets
    return (note.string, note.fret) if on_neck and note.string <= len(part.instrument.tuning) else None


def chords(score: Score) -> Iterator[Chord]:
    """Every moment at which several notes with string and fret are struck; grace notes are their own."""
    for part in score.parts:
        for bar in part.bars:
            moments: dict[Quarters, list[tuple[Event, Note]]] = {}
            for event in bar.events:
                if not event.grace:
                    held = [(event, note) for note in event.notes if _sounds(part, note)]
                    moments.setdefault(event.onset, []).extend(held)
            for pairs in moments.values():
                if len(pairs) > 1:
                    yield _chord(part, bar, pairs)


def _sounds(part: Part, note: Note) -> bool:
    placed = note.string is not None and note.fret is not None and note.string <= len(part.instrument.tuning)
    return placed and not note.tied and not note.has(*NOT_HELD)


def _chord(part: Part, bar: Bar, pairs: list[tuple[Event, Note]]) -> Chord:
    down = sorted({(note.string or 0, note.fret or 0) for _, note in pairs})
    return Chord(bar, part.instrument, tuple(down), tuple(span_of(note, event, bar) for event, note in pairs))
