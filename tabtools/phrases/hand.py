"""Strings and frets for the notes of a moved phrase, chosen by the model of the hand."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from tabtools.fingering.moments import Sounded, layers
from tabtools.fingering.neck import Place, neck
from tabtools.fingering.notes import take
from tabtools.fingering.plan import Plan, plan
from tabtools.fingering.weights import PROFILES
from tabtools.phrases.goals import indexed
from tabtools.record import NamedTuple
from tabtools.score import Bar, Part
from tabtools.timeline import NoteIndex

_JOINING = ("hammer", "pull", "slide")


class Chosen(NamedTuple):
    """A place for each note, and how often the easiest way breaks what a hand can do."""

    places: dict[NoteIndex, Place]
    broken: int


def choose(
    part: Part, free: Mapping[NoteIndex, Sequence[Place]], hand: str, position: int | None = None
) -> Chosen:
    """The easiest places for notes, each out of those in ``free``; notes that are not in it stay.

    ``part`` has the new pitches and the old strings, which tell what is joined to what.
    """
    on = neck(part.instrument, hand)
    taken = take(part, on, rework=False)
    sounded = list(taken.sounded)
    for number, at in enumerate(taken.places):
        allowed = free.get(at)
        if allowed is not None:
            old = sounded[number]
            want = old.want._replace(places=tuple(allowed), finger=None)
            sounded[number] = Sounded(old.onset, old.end, want, old.lead, old.joined, old.join)
    weights = PROFILES["neutral"]._replace(position=position)
    fingering = Plan(part, on, layers(on, weights), taken._replace(sounded=tuple(sounded)))
    found: dict[NoteIndex, Place] = {}
    for place in free:
        at_hand = fingering.number(place)
        if at_hand is not None:
            held = fingering.held(at_hand)
            found[place] = (held.string, held.fret)
    return Chosen(found, fingering.broken)


def broken(part: Part, hand: str) -> int:
    """How often a part, as it is written, asks more than a hand can do."""
    return plan(_without_fingers(part), hand=hand).broken


def broken_bars(part: Part, hand: str) -> list[int]:
    """The places of the bars, counted from 0, that ask more than a hand can do each by itself."""
    alone = (part._replace(bars=(bar,)) for bar in part.bars)
    return [number for number, one in enumerate(alone) if broken(one, hand)]


def torn(before: Part, after: Part) -> set[int]:
    """The places of the bars, counted from 0, where notes that are struck together share a string, or a
    slide, a hammer-on, a pull-off or a tie no longer leads along one."""
    origins = _origins(before)
    notes = dict(indexed(after))
    bad = {at.bar for at, origin in origins.items() if notes[at].string != notes[origin].string}
    for number, bar in enumerate(after.bars):
        for event in bar.events:
            strings = [note.string for note in event.notes if note.string is not None]
            if len(set(strings)) < len(strings):
                bad.add(number)
    return bad


def _origins(part: Part) -> dict[NoteIndex, NoteIndex]:
    """For each note that is reached from another on its string, that one."""
    last: dict[int | None, NoteIndex] = {}
    found = {}
    for at, note in indexed(part):
        if (note.tied or note.has(*_JOINING)) and note.string in last:
            found[at] = last[note.string]
        last[note.string] = at
    return found


def _without_fingers(part: Part) -> Part:
    return part._replace(bars=tuple(map(_bare, part.bars)))


def _bare(bar: Bar) -> Bar:
    events = (
        event._replace(notes=tuple(note._replace(finger=None) for note in event.notes))
        for event in bar.events
    )
    return bar._replace(events=tuple(events))
