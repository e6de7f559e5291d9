"""Elements that say nothing: left behind empty where something was taken out of them."""

from __future__ import annotations

from collections.abc import Iterator

from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.edit.insert import remove
from tabtools.musicxml.extents import Extents

RULE = "empty-element"
_STRAY = (
    "notations",
    "technical",
    "articulations",
    "ornaments",
    "direction",
    "attributes",
    "accidental",
    "beam",
    "lyric",
    "harmony",
)


def faults(where: Extents) -> Iterator[Fault]:
    """A fault for every element of those above that holds nothing at all."""
    for element in where.root.iter(*_STRAY):
        if len(element) == 0 and not (element.text or "").strip():
            message = f"<{element.tag}> is empty and says nothing, and some programs refuse it: remove it"
            repair = Repair((remove(where, element),), f"remove the empty <{element.tag}>")
            yield Fault(RULE, where[element].span, message, None, repair)
