"""All faults of a file's elements, and the file with those mended whose repair is certain."""

from __future__ import annotations

from dataclasses import replace
from typing import NamedTuple

from tabtools.musicxml.clean import agree, alter, empties, header, joins, order, ties, tuning, types
from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.positions import Located
from tabtools.musicxml.walk import tracks
from tabtools.source import Edit, Source, applied

_MOST_ROUNDS = 8


def find_faults(source: Source) -> tuple[Fault, ...]:
    """The faults of a well-formed MusicXML text, in the order of the text."""
    where = Located(source.text)
    found = [*header.faults(where, source), *order.faults(where), *empties.faults(where)]
    parts = tracks(where)
    for check in (agree, alter, joins, ties, tuning, types):
        found += check.faults(where, parts)
    return tuple(sorted(found, key=lambda fault: (fault.span.start, fault.rule, fault.message)))


class Mended(NamedTuple):
    """A fault that was mended, and the line where it stood."""

    line: int
    fault: Fault
    repair: Repair


def clean(source: Source) -> tuple[Source, tuple[Mended, ...]]:
    """The source with every fault mended that can be mended with certainty, and those faults.

    Repairs that would touch the same characters wait for the next round.
    """
    mended: list[Mended] = []
    for _ in range(_MOST_ROUNDS):
        edits: list[Edit] = []
        for fault in find_faults(source):
            repair = fault.repair
            if repair is not None and repair.certain and _apart(edits, repair.edits):
                edits += repair.edits
                mended.append(Mended(source.position(fault.span.start)[0], fault, repair))
        if not edits:
            break
        source = replace(source, text=applied(source.text, edits), _starts=[])
    return source, tuple(mended)


def _apart(edits: list[Edit], more: tuple[Edit, ...]) -> bool:
    """Whether no edit overlaps another, or inserts where another one does."""
    return bool(more) and not any(
        one.span.start <= other.span.end and other.span.start <= one.span.end
        for one in edits
        for other in more
    )
