"""Ties that begin and do not end, or end and did not begin."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.clean.marks import add_mark
from tabtools.musicxml.clean.twins import twins
from tabtools.musicxml.edit.insert import remove
from tabtools.musicxml.positions import Located
from tabtools.musicxml.walk import Noted, Track, ends_ending
from tabtools.record import NamedTuple
from tabtools.score import ZERO, Quarters
from tabtools.source import Edit

RULE = "broken-tie"
# What sounds, and what is drawn.
_PATHS = {"tie": "tie", "tied": "notations/tied"}

_Key = tuple[int, Quarters, int | None]


class _Timed(NamedTuple):
    start: Quarters
    note: Noted

    @property
    def key(self) -> _Key:
        return self.note.staff, self.start, self.note.midi

    @property
    def after(self) -> _Key:
        return self.note.staff, self.start + self.note.duration, self.note.midi


class _Half(NamedTuple):
    """A tie that ``note`` ``has`` one end of, and ``other``, if any, ``lacks`` what is ``missing`` of it."""

    note: Noted
    other: Noted | None
    missing: set[str]
    has: str
    lacks: str


def faults(where: Located, tracks: Sequence[Track]) -> Iterator[Fault]:
    """A fault for every half of a tie whose other half is missing."""
    found = [half for track in tracks for half in _alone(track)]
    copies = _copies(tracks) if found else {}
    yield from (_fault(where, half, copies) for half in found)


def _alone(track: Track) -> Iterator[_Half]:
    timed = list(_timed(track))
    later: dict[_Key, Noted] = {}
    earlier: dict[_Key, Noted] = {}
    for entry in timed:
        later.setdefault(entry.key, entry.note)
        earlier.setdefault(entry.after, entry.note)
    for entry in timed:
        yield from _of_start(entry.note, later.get(entry.after))
        yield from _of_stop(entry.note, earlier.get(entry.key))


def _copies(tracks: Sequence[Track]) -> dict[int, Noted]:
    """The same notes on the other staff, by the identity of the element."""
    pairs = [pair for found in twins(tracks) for pair in found.pairs]
    return {id(one.element): other for pair in pairs for one, other in (pair, pair[::-1])}


def _timed(track: Track) -> Iterator[_Timed]:
    start = ZERO
    for measure in track.measures:
        for note in measure.notes:
            if note.midi is not None and not note.grace and not note.cue:
                yield _Timed(start + note.onset, note)
        start += measure.end


def _halves(note: Noted, end: str) -> set[str]:
    """Which of ``tie`` and ``tied`` a note has at this end."""
    return {
        name
        for name, path in _PATHS.items()
        if any(element.get("type") in (end, "continue") for element in note.element.iterfind(path))
    }


def _of_start(note: Noted, after: Noted | None) -> Iterator[_Half]:
    starts = _halves(note, "start")
    if not starts or (after is None and _at_a_jump(note)) or _parted(note, after):
        return
    missing = starts - _halves(after, "stop") if after else starts
    if missing:
        yield _Half(note, after, missing, "start", "stop")


def _of_stop(note: Noted, before: Noted | None) -> Iterator[_Half]:
    stops = _halves(note, "stop")
    if not stops or (before is None and _at_a_jump(note)) or _parted(before, note):
        return
    missing = stops - _halves(before, "start") if before else stops
    if missing:
        yield _Half(note, before, missing, "stop", "start")


def _at_a_jump(note: Noted) -> bool:
    """Whether a repeat or an ending begins or ends beside the note, so that the other half is elsewhere."""
    element = note.measure.element
    previous = element.getprevious()
    bars = [element] if previous is None else [element, previous]
    return any(
        bar.find("barline/repeat") is not None or bar.find("barline/ending") is not None for bar in bars
    )


def _parted(one: Noted | None, other: Noted | None) -> bool:
    """Whether an ending ends between two notes, so that they are not played one after the other."""
    if one is None or other is None or one.measure is other.measure:
        return False
    return ends_ending(one.measure.element)


def _fault(where: Located, half: _Half, copies: dict[int, Noted]) -> Fault:
    note, other, missing, has, lacks = half
    place = where[note.element].span
    if other is None:
        verb, side = ("begins", "after") if has == "start" else ("ends", "before")
        message = (
            f"a tie {verb} here, and no note of the same pitch stands right {side} it: remove the tie or "
            "write the note"
        )
        halves = [
            remove(where, element)
            for name in sorted(missing)
            for element in note.element.iterfind(_PATHS[name])
            if element.get("type") == has
        ]
        repair = Repair(tuple(halves), "remove the half tie", safe=False, certain=False) if halves else None
        return Fault(RULE, place, message, note.bar, repair)
    names = " and ".join(f"<{name}>" for name in sorted(missing))
    beside = "next" if has == "start" else "previous"
    message = (
        f"the {has} of a tie ({names}) has no {lacks} on the {beside} note of the same pitch: "
        f"write it there, or the note is struck twice"
    )
    edits: list[Edit] = []
    for name in sorted(missing):
        edits += add_mark(where, other.element, name, lacks)
    # Where both notes have their half of the sounding tie, here or on the other staff, nothing is heard anew.
    one, two = (copies.get(id(n.element)) for n in (note, other))
    heard = missing == {"tied"} and _sounds(note, other, has, lacks)
    heard = heard or bool(one and two and _sounds(one, two, has, lacks))
    return Fault(RULE, place, message, note.bar, Repair(tuple(edits), f"add the {lacks}", safe=heard))


def _sounds(note: Noted, other: Noted, has: str, lacks: str) -> bool:
    """Whether both notes have their end of the tie that is heard."""
    return "tie" in _halves(note, has) and "tie" in _halves(other, lacks)
