"""Slurs, hammer-ons, pull-offs and slides with one end missing, where another join of the notes proves it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain, pairwise

from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.clean.marks import add_mark
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.located import Join, LocatedNote, LocatedPart, ends_ending
from tabtools.record import NamedTuple

RULE = "broken-join"


class _End(NamedTuple):
    note: LocatedNote
    join: Join


def faults(where: Extents, parts: Sequence[LocatedPart]) -> Iterator[Fault]:
    """A fault for every start without a stop, and the other way round."""
    for part in parts:
        starts, stops = _unpaired(part)
        steps = list(_steps(part)) if starts or stops else []
        onwards, back = dict(steps), {after: before for before, after in steps}
        yield from (_fault(where, end, onwards.get(end.note), "start", "stop") for end in starts)
        yield from (_fault(where, end, back.get(end.note), "stop", "start") for end in stops)


def _unpaired(part: LocatedPart) -> tuple[list[_End], list[_End]]:
    """The starts and the stops of a part that have no other end, by kind, number and place in the file.

    With several voices a stop can stand before its start in the file, within the bar.
    """
    open_: dict[tuple[str, str], list[_End]] = {}
    early: dict[tuple[str, str], list[_End]] = {}
    for end in _ends(part):
        key = end.join.kind, end.join.number
        starts, stops = open_.setdefault(key, []), early.setdefault(key, [])
        if end.join.end == "start":
            if stops and stops[-1].note.bar == end.note.bar and end.note.onset <= stops[-1].note.onset:
                stops.pop()
            else:
                starts.append(end)
        elif starts:
            starts.pop()
        else:
            stops.append(end)
    return (
        [end for end in chain(*open_.values()) if not ends_ending(part.bar_of(end.note))],
        [end for end in chain(*early.values()) if not _may_come_in(end.note, part)],
    )


def _may_come_in(note: LocatedNote, part: LocatedPart) -> bool:
    """Whether a join may come from before the endings: the next ending has the other ends of all of them."""
    return ends_ending(part.bar_before(note))


def _ends(part: LocatedPart) -> Iterator[_End]:
    for note in part.notes:
        for join in note.joins:
            if join.end in ("start", "stop"):
                yield _End(note, join)


def _steps(part: LocatedPart) -> Iterator[tuple[LocatedNote, LocatedNote]]:
    """Each note with the next one in its voice that it can be joined to: on its string, if it has one."""
    lines: dict[tuple[int, str, int | None], list[LocatedNote]] = {}
    for note in part.notes:
        if not note.rest and not note.cue:
            lines.setdefault((note.staff, note.voice, note.string), []).append(note)
    for notes in lines.values():
        yield from pairwise(notes)


def _fault(where: Extents, end: _End, other: LocatedNote | None, has: str, lacks: str) -> Fault:
    side = "ends nowhere" if has == "start" else "begins nowhere"
    join = end.join
    message = f"the {join.kind} that has its {has} here {side}: write its {lacks}, or remove it"
    repair = None
    if other is not None and _proved(end, other, has, lacks):
        label = (join.element.text or "").strip()
        edits = add_mark(where, other.element, join.kind, lacks, join.element.get("number"), label)
        repair = Repair(
            tuple(edits), f"add the {lacks}: the other marks of the two notes have it", safe=False
        )
    return Fault(RULE, where[join.element].span, message, end.note.bar, repair)


def _proved(end: _End, other: LocatedNote, has: str, lacks: str) -> bool:
    """Whether another join has both its ends on the two notes."""
    ours = {join.kind for join in end.note.joins if join.end == has}
    theirs = {join.kind for join in other.joins if join.end == lacks}
    return bool(ours & theirs - {end.join.kind})
