"""Slurs, hammer-ons, pull-offs and slides with one end missing, where another join of the notes proves it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import chain, pairwise

from lxml import etree

from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.clean.marks import add_mark
from tabtools.musicxml.positions import Located
from tabtools.musicxml.walk import Noted, Track, ends_ending
from tabtools.record import NamedTuple

RULE = "broken-join"
_PATHS = {
    "slur": "notations/slur",
    "hammer-on": "notations/technical/hammer-on",
    "pull-off": "notations/technical/pull-off",
    "slide": "notations/slide",
    "glissando": "notations/glissando",
}


class _End(NamedTuple):
    kind: str
    note: Noted
    element: etree._Element


def faults(where: Located, tracks: Sequence[Track]) -> Iterator[Fault]:
    """A fault for every start without a stop, and the other way round."""
    for track in tracks:
        starts, stops = _unpaired(track)
        steps = {id(a.element): b for a, b in _steps(track)}
        steps_back = {id(b.element): a for a, b in _steps(track)}
        yield from (_fault(where, end, steps.get(id(end.note.element)), "start", "stop") for end in starts)
        yield from (
            _fault(where, end, steps_back.get(id(end.note.element)), "stop", "start") for end in stops
        )


def _unpaired(track: Track) -> tuple[list[_End], list[_End]]:
    """The starts and the stops of a part that have no other end, by kind, number and place in the file.

    With several voices a stop can stand before its start in the file, within the bar.
    """
    open_: dict[tuple[str, str], list[_End]] = {}
    early: dict[tuple[str, str], list[_End]] = {}
    for end in _ends(track):
        key = end.kind, end.element.get("number") or "1"
        starts, stops = open_.setdefault(key, []), early.setdefault(key, [])
        if end.element.get("type") == "start":
            if stops and stops[-1].note.bar == end.note.bar and end.note.onset <= stops[-1].note.onset:
                stops.pop()
            else:
                starts.append(end)
        elif starts:
            starts.pop()
        else:
            stops.append(end)
    return (
        [end for end in chain(*open_.values()) if not _may_go_on_elsewhere(end)],
        [end for end in chain(*early.values()) if not _may_come_in(end)],
    )


def _may_go_on_elsewhere(end: _End) -> bool:
    return ends_ending(end.note.measure.element)


def _may_come_in(end: _End) -> bool:
    """Whether a join may come from before the endings: the next ending has the other ends of all of them."""
    return ends_ending(end.note.measure.element.getprevious())


def _ends(track: Track) -> Iterator[_End]:
    for note in track.notes:
        for kind, path in _PATHS.items():
            for element in note.element.iterfind(path):
                if element.get("type") in ("start", "stop"):
                    yield _End(kind, note, element)


def _steps(track: Track) -> Iterator[tuple[Noted, Noted]]:
    """Each note with the next one in its voice that it can be joined to: on its string, if it has one."""
    lines: dict[tuple[int, str, int | None], list[Noted]] = {}
    for note in track.notes:
        if not note.rest and not note.cue:
            lines.setdefault((note.staff, note.voice, note.string), []).append(note)
    for notes in lines.values():
        yield from pairwise(notes)


def _fault(where: Located, end: _End, other: Noted | None, has: str, lacks: str) -> Fault:
    side = "ends nowhere" if has == "start" else "begins nowhere"
    message = f"the {end.kind} that has its {has} here {side}: write its {lacks}, or remove it"
    repair = None
    if other is not None and _proved(end, other, has, lacks):
        edits = add_mark(
            where, other.element, end.kind, lacks, end.element.get("number"), (end.element.text or "").strip()
        )
        repair = Repair(
            tuple(edits), f"add the {lacks}: the other marks of the two notes have it", safe=False
        )
    return Fault(RULE, where[end.element].span, message, end.note.bar, repair)


def _proved(end: _End, other: Noted, has: str, lacks: str) -> bool:
    """Whether another join has both its ends on the two notes."""
    return any(
        kind != end.kind and _has(end.note, path, has) and _has(other, path, lacks)
        for kind, path in _PATHS.items()
    )


def _has(note: Noted, path: str, end: str) -> bool:
    return any(element.get("type") == end for element in note.element.iterfind(path))
