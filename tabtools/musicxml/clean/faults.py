"""All faults of a file's elements, and the file with those mended whose repair is certain."""

from __future__ import annotations

from bisect import bisect_left, insort

from tabtools.document import Document
from tabtools.musicxml.clean import (
    agree,
    alter,
    empties,
    header,
    joins,
    order,
    parts,
    places,
    ties,
    tuning,
    types,
    unreadable,
)
from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.reader import edited
from tabtools.record import NamedTuple
from tabtools.source import Edit

_MOST_ROUNDS = 8


def find_faults(document: Document) -> tuple[Fault, ...]:
    """The faults of a MusicXML document, in the order of the text."""
    assert document.located is not None
    where, source = document.located.extents, document.source
    found = [
        *header.faults(where, source),
        *order.faults(where),
        *empties.faults(where),
        *parts.faults(where),
        *unreadable.faults(document.located),
    ]
    for check in (agree, alter, joins, places, ties, tuning, types):
        found += check.faults(where, document.located.parts)
    return tuple(sorted(found, key=lambda fault: (fault.span.start, fault.rule, fault.message)))


class Mended(NamedTuple):
    """A fault that was mended, and the line where it stood."""

    line: int
    fault: Fault
    repair: Repair


def clean(document: Document) -> tuple[Document, tuple[Mended, ...]]:
    """The document with every fault mended that can be mended with certainty, and those faults.

    Repairs that would touch the same characters wait for the next round.
    """
    mended: list[Mended] = []
    for _ in range(_MOST_ROUNDS):
        edits: list[Edit] = []
        taken: list[tuple[int, int]] = []
        for fault in find_faults(document):
            repair = fault.repair
            if repair is not None and repair.edits and repair.certain and _fits(taken, repair):
                edits += repair.edits
                mended.append(Mended(document.source.position(fault.span.start)[0], fault, repair))
        if not edits:
            break
        document = edited(document, edits)
    return document, tuple(mended)


def _fits(taken: list[tuple[int, int]], repair: Repair) -> bool:
    """Whether no edit of a repair touches characters that are ``taken``; if so, they are from now on."""
    places = [(edit.span.start, edit.span.end) for edit in repair.edits]
    for start, end in places:
        at = bisect_left(taken, (start, end))
        if (at < len(taken) and taken[at][0] <= end) or (at and taken[at - 1][1] >= start):
            return False
    for place in places:
        insort(taken, place)
    return True
