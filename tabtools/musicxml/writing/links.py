"""What joins notes: where hammer-ons, pull-offs, slides, ties, slurs and dashed lines begin and end."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from tabtools.musicxml.marks import SPAN_WORDS
from tabtools.musicxml.writing.rhythm import is_grace
from tabtools.record import NamedTuple
from tabtools.score import Note, Part

LEGATO = frozenset({"hammer", "pull"})
_JOINS = ("hammer", "pull", "slide")

EventPlace = tuple[int, int]
NotePlace = tuple[int, int, int]


@dataclass(slots=True)
class Ends:
    """The joins that begin and that end at a note, by technique name; also ``tie`` and ``slur``.

    ``lost`` are those that have no note to come from.
    """

    starts: list[str] = field(default_factory=list)
    stops: list[str] = field(default_factory=list)
    lost: list[str] = field(default_factory=list)


class Links(NamedTuple):
    """All joins of a part, by place: bar and event, and note for the joins, counted from 0."""

    notes: dict[NotePlace, Ends]
    span_starts: dict[EventPlace, tuple[str, ...]]
    span_stops: dict[EventPlace, tuple[str, ...]]


def is_tied(note: Note) -> bool:
    """Whether a note continues the one before, as a fact or as a technique."""
    return note.tied or note.has("tie")


def links(part: Part) -> Links:
    """Work out the joins of a part. A join comes from the last note before on the same string."""
    ends: dict[NotePlace, Ends] = {}
    last: dict[object, tuple[NotePlace, Note]] = {}
    for b, bar in enumerate(part.bars):
        timely = sorted(range(len(bar.events)), key=lambda i: _when(part, b, i))
        for e in timely:
            struck = [(_string(note, n), (b, e, n), note) for n, note in enumerate(bar.events[e].notes)]
            for key, place, note in struck:
                _join(ends, place, note, last.get(key))
            last.update((key, (place, note)) for key, place, note in struck)
    for end in ends.values():
        _slur(end)
    return Links(ends, *_spans(part))


def _when(part: Part, bar: int, event: int) -> tuple[object, bool]:
    found = part.bars[bar].events[event]
    return found.onset, not is_grace(found)


def _string(note: Note, place: int) -> object:
    """What identifies the string: its number, or the note's place in the chord where there is none."""
    return note.string if note.string is not None else ("none", place)


def _join(
    ends: dict[NotePlace, Ends], place: NotePlace, note: Note, before: tuple[NotePlace, Note] | None
) -> None:
    names = [technique.name for technique in note.techniques if technique.name in _JOINS]
    if is_tied(note):
        names.append("tie")
    for name in names:
        own = ends.setdefault(place, Ends())
        if before is None or (name == "tie" and before[1].pitch != note.pitch):
            own.lost.append(name)
            continue
        own.stops.append(name)
        ends.setdefault(before[0], Ends()).starts.append(name)


def _slur(end: Ends) -> None:
    """One slur over a whole run of hammer-ons and pull-offs."""
    comes, goes = not LEGATO.isdisjoint(end.stops), not LEGATO.isdisjoint(end.starts)
    if comes and not goes:
        end.stops.append("slur")
    if goes and not comes:
        end.starts.append("slur")


def _spans(part: Part) -> tuple[dict[EventPlace, tuple[str, ...]], dict[EventPlace, tuple[str, ...]]]:
    """Where a run of events that share a technique begins and ends, voice by voice."""
    starts: dict[EventPlace, tuple[str, ...]] = {}
    stops: dict[EventPlace, tuple[str, ...]] = {}
    for voice in sorted({event.voice for bar in part.bars for event in bar.events}):
        before: frozenset[str] = frozenset()
        at: EventPlace | None = None
        for place, names in _marked(part, voice):
            if at is not None and before - names:
                stops[at] = tuple(sorted(before - names))
            if names - before:
                starts[place] = tuple(sorted(names - before))
            before, at = names, place
        if at is not None and before:
            stops[at] = tuple(sorted(before))
    return starts, stops


def _marked(part: Part, voice: int) -> Iterator[tuple[EventPlace, frozenset[str]]]:
    for b, bar in enumerate(part.bars):
        for e in sorted(range(len(bar.events)), key=lambda i: _when(part, b, i)):
            event = bar.events[e]
            if event.voice == voice:
                names = {t.name for note in event.notes for t in note.techniques}
                yield (b, e), frozenset(names & SPAN_WORDS.keys())
