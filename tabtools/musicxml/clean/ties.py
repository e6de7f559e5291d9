"""Ties that begin and do not end, or end and did not begin."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.clean.marks import add_mark
from tabtools.musicxml.clean.twins import twins
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.located import LocatedNote, LocatedPart, ends_ending
from tabtools.record import NamedTuple
from tabtools.score import ZERO, Quarters
from tabtools.source import Edit

RULE = "broken-tie"
# Where what sounds stands in a note, and what is drawn.
_PATHS = {"tie": "tie", "tied": "notations/tied"}

_Key = tuple[int, Quarters, int | None]


class _Timed(NamedTuple):
    start: Quarters
    note: LocatedNote

    @property
    def key(self) -> _Key:
        return self.note.staff, self.start, self.note.midi

    @property
    def after(self) -> _Key:
        return self.note.staff, self.start + self.note.duration, self.note.midi


class _Half(NamedTuple):
    """A tie that ``note`` ``has`` one end of, and ``other``, if any, ``lacks`` what is ``missing`` of it."""

    note: LocatedNote
    other: LocatedNote | None
    missing: set[str]
    has: str
    lacks: str


def faults(where: Extents, parts: Sequence[LocatedPart]) -> Iterator[Fault]:
    """A fault for every half of a tie whose other half is missing."""
    found = [half for part in parts for half in _alone(part)]
    copies = _copies(parts) if found else {}
    yield from (_fault(where, half, copies) for half in found)


def _alone(part: LocatedPart) -> Iterator[_Half]:
    timed = list(_timed(part))
    later: dict[_Key, LocatedNote] = {}
    earlier: dict[_Key, LocatedNote] = {}
    for entry in timed:
        later.setdefault(entry.key, entry.note)
        earlier.setdefault(entry.after, entry.note)
    for entry in timed:
        yield from _of_start(part, entry.note, later.get(entry.after))
        yield from _of_stop(part, entry.note, earlier.get(entry.key))


def _copies(parts: Sequence[LocatedPart]) -> dict[LocatedNote, LocatedNote]:
    """The same notes on the other staff."""
    pairs = [pair for pairing in twins(parts) for pair in pairing.pairs]
    return {note: twin for pair in pairs for note, twin in (pair, pair[::-1])}


def _timed(part: LocatedPart) -> Iterator[_Timed]:
    start = ZERO
    for measure in part.bars:
        for note in measure.notes:
            if note.midi is not None and not note.grace and not note.cue:
                yield _Timed(start + note.onset, note)
        start += measure.end


def _halves(note: LocatedNote, end: str) -> set[str]:
    """Which of ``tie`` and ``tied`` a note has at this end."""
    return {name for name, kind in note.ties if kind in (end, "continue")}


def _of_start(part: LocatedPart, note: LocatedNote, after: LocatedNote | None) -> Iterator[_Half]:
    starts = _halves(note, "start")
    if not starts or (after is None and _at_a_jump(part, note)) or _parted(part, note, after):
        return
    missing = starts - _halves(after, "stop") if after else starts
    if missing:
        yield _Half(note, after, missing, "start", "stop")


def _of_stop(part: LocatedPart, note: LocatedNote, before: LocatedNote | None) -> Iterator[_Half]:
    stops = _halves(note, "stop")
    if not stops or (before is None and _at_a_jump(part, note)) or _parted(part, before, note):
        return
    missing = stops - _halves(before, "start") if before else stops
    if missing:
        yield _Half(note, before, missing, "stop", "start")


def _at_a_jump(part: LocatedPart, note: LocatedNote) -> bool:
    """Whether a repeat or an ending begins or ends beside the note, so that the other half is elsewhere."""
    bars = [bar.content for bar in (part.bar_of(note), part.bar_before(note)) if bar is not None]
    return any(
        bar.find("barline/repeat") is not None or bar.find("barline/ending") is not None for bar in bars
    )


def _parted(part: LocatedPart, one: LocatedNote | None, other: LocatedNote | None) -> bool:
    """Whether an ending ends between two notes, so that they are not played one after the other."""
    if one is None or other is None or one.bar == other.bar:
        return False
    return ends_ending(part.bar_of(one))


def _fault(where: Extents, half: _Half, copies: dict[LocatedNote, LocatedNote]) -> Fault:
    note, other, missing, has, lacks = half
    place = where[note.element].span
    if other is None:
        verb, side = ("begins", "after") if has == "start" else ("ends", "before")
        message = (
            f"a tie {verb} here, and no note of the same pitch stands right {side} it: remove the tie or "
            "write the note"
        )
        return Fault(RULE, place, message, note.bar)
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
    one, two = copies.get(note), copies.get(other)
    heard = missing == {"tied"} and _sounds(note, other, has, lacks)
    heard = heard or bool(one and two and _sounds(one, two, has, lacks))
    return Fault(RULE, place, message, note.bar, Repair(tuple(edits), f"add the {lacks}", safe=heard))


def _sounds(note: LocatedNote, other: LocatedNote, has: str, lacks: str) -> bool:
    """Whether both notes have their end of the tie that is heard."""
    return "tie" in _halves(note, has) and "tie" in _halves(other, lacks)
