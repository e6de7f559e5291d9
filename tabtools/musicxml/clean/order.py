"""Children that stand in another order than the schema's."""

from __future__ import annotations

from collections.abc import Iterator

from lxml import etree

from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.order import FREE, GROUPED, PLACES
from tabtools.source import Edit

RULE = "misordered-elements"


def faults(where: Extents) -> Iterator[Fault]:
    """A fault for every element whose children are known and out of order."""
    for parent in where.root.iter(*(name for name in PLACES if name not in FREE)):
        children = [child for child in parent if isinstance(child.tag, str)]
        ranks = PLACES[str(parent.tag)]
        places = [ranks.get(str(child.tag)) for child in children]
        known = [place for place in places if place is not None]
        if len(known) == len(children) and known != sorted(known) and not _grouped(parent):
            yield _fault(where, parent, children)


def _grouped(parent: etree._Element) -> bool:
    groups = GROUPED.get(str(parent.tag), ())
    return any(sum(1 for _ in parent.iterchildren(*names.split())) > 1 for names in groups)


def _fault(where: Extents, parent: etree._Element, children: list[etree._Element]) -> Fault:
    ranks = PLACES[str(parent.tag)]
    wanted = sorted(children, key=lambda child: ranks[str(child.tag)])
    edits = tuple(
        Edit(where[slot].span, where.source(child))
        for slot, child in zip(children, wanted, strict=True)
        if slot is not child
    )
    slot, child = next(pair for pair in zip(children, wanted, strict=True) if pair[0] is not pair[1])
    message = (
        f"<{slot.tag}> stands where the schema wants <{child.tag}> in <{parent.tag}>: many programs refuse "
        "or misread such a file; put the elements in order"
    )
    return Fault(RULE, where[slot].span, message, None, Repair(edits, "put the elements in schema order"))
