"""All faults of a file's elements."""

from __future__ import annotations

from tabtools.document import Document
from tabtools.musicxml.clean import (
    agree,
    alter,
    counting,
    doubled,
    empties,
    header,
    joins,
    note_parts,
    order,
    parts,
    places,
    retuning,
    rewinding,
    ties,
    tuning,
    types,
    unknown,
    unreadable,
)
from tabtools.musicxml.clean.fault import Fault
from tabtools.source import Span

# What other faults bring about: it is not told where they explain it.
_SYMPTOMS = frozenset({tuning.MISMATCH, agree.DIFFER, ties.RULE, types.RULE})


def find_faults(document: Document) -> tuple[Fault, ...]:
    """The faults of a MusicXML document, in the order of the text."""
    assert document.located is not None
    where, source = document.located.extents, document.source
    found = [
        *header.faults(where, source),
        *order.faults(where),
        *empties.faults(where),
        *parts.faults(where),
        *unknown.faults(document.located),
        *unreadable.faults(document.located),
    ]
    for check in (
        agree,
        alter,
        counting,
        doubled,
        joins,
        note_parts,
        places,
        retuning,
        rewinding,
        ties,
        tuning,
        types,
    ):
        found += check.faults(where, document.located.parts)
    causes = [fault.explains for fault in found if fault.explains]
    told = [fault for fault in found if not any(_within(fault, cause) for cause in causes)]
    return tuple(sorted(told, key=lambda fault: (fault.span.start, fault.rule, fault.message)))


def _within(fault: Fault, cause: Span) -> bool:
    """Whether a fault comes of a cause in whose stretch it lies."""
    symptom = fault.rule in _SYMPTOMS and fault.explains is None
    return symptom and cause.start <= fault.span.start and fault.span.end <= cause.end
