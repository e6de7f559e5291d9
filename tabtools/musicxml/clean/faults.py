"""All faults of a file's elements."""

from __future__ import annotations

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
from tabtools.musicxml.clean.fault import Fault


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
