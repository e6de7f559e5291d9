"""Parts that the list of parts at the top of the file does not name."""

from __future__ import annotations

from collections.abc import Iterator

from lxml import etree

from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.edit.insert import set_attribute
from tabtools.musicxml.extents import Extents
from tabtools.source import Span

RULE = "part-unlisted"


def faults(where: Extents) -> Iterator[Fault]:
    """A fault for every part of an id that no ``score-part`` has; mended where one of each is left over."""
    listed = [part.get("id") or "" for part in where.root.iterfind("part-list/score-part")]
    parts = [*where.root.iterfind("part"), *where.root.iterfind("measure/part")]
    held = {part.get("id") or "" for part in parts}
    strays, spare = sorted(held - set(listed)), [name for name in listed if name not in held]
    for part in parts:
        if (part.get("id") or "") in strays:
            yield _fault(where, part, spare[0] if len(strays) == len(spare) == 1 else None)


def _fault(where: Extents, part: etree._Element, listed: str | None) -> Fault:
    advice = f"the list has {listed!r} and no such part" if listed else "add a score-part for it"
    message = f"the list of parts names no part {part.get('id')!r}, so that it has no name: {advice}"
    repair = None
    if listed:
        repair = Repair((set_attribute(where, part, "id", listed),), f"make it the part {listed!r}")
    place = where[part]
    return Fault(RULE, Span(place.start, place.inner), message, None, repair)
