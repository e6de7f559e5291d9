"""Elements put in, taken out and given other text, each as one edit that looks like its surroundings."""

from __future__ import annotations

import re
from collections.abc import Sequence

from lxml import etree

from tabtools.musicxml.extents import Extents
from tabtools.musicxml.order import PLACES
from tabtools.musicxml.writing.fragment import Fragment
from tabtools.source import Edit, Span

_LAST = 1000


def insert(where: Extents, parent: etree._Element, *children: Fragment) -> list[Edit]:
    """Children put below ``parent`` in schema order, each on a line of its own where its siblings are.

    Where the schema leaves the order free they go to the end.
    """
    place = where[parent]
    if place.closes_itself:
        start = where.text[place.start : place.end].removesuffix("/>").rstrip()
        inside = "".join(_xml(where, child) for child in children)
        return [Edit(place.span, f"{start}>{inside}</{parent.tag}>")]
    ranks = PLACES.get(str(parent.tag), {})
    siblings = [child for child in parent if isinstance(child.tag, str)]
    edits: dict[int, Edit] = {}
    for child in sorted(children, key=lambda child: ranks.get(child.name, _LAST)):
        rank = ranks.get(child.name, _LAST)
        before = [s for s in siblings if ranks.get(str(s.tag), _LAST) <= rank]
        at, text = _placed(where, parent, siblings, before, child)
        edits[at] = Edit(Span(at, at), (edits[at].text if at in edits else "") + text)
    return list(edits.values())


def _placed(
    where: Extents,
    parent: etree._Element,
    siblings: Sequence[etree._Element],
    before: Sequence[etree._Element],
    child: Fragment,
) -> tuple[int, str]:
    """Where a child goes and its text, with the white space that its neighbours have before them."""
    if before:
        return where[before[-1]].end, where.blank_before(before[-1]) + _xml(where, child)
    if siblings:
        return where[parent].inner, where.blank_before(siblings[0]) + _xml(where, child)
    return where[parent].inner, _xml(where, child)


def _xml(where: Extents, child: Fragment) -> str:
    """A child as the file writes elements that close themselves, with a blank or without."""
    return child.xml.replace("/>", where.closing)


def insert_at(where: Extents, element: etree._Element, path: str, *children: Fragment) -> list[Edit]:
    """Children put below the element that ``path`` names from ``element``; what is missing of it is made."""
    names = path.split("/") if path else []
    while names and (inner := element.find(names[0])) is not None:
        element = inner
        names.pop(0)
    if not names:
        return insert(where, element, *children)
    xml = "".join(child.xml for child in children)
    for name in reversed(names):
        xml = f"<{name}>{xml}</{name}>"
    return insert(where, element, Fragment(names[0], xml))


def insert_before(where: Extents, element: etree._Element, *children: Fragment) -> Edit:
    """Elements put in front of another one."""
    at = where[element].start
    blank = where.blank_before(element)
    return Edit(Span(at, at), "".join(_xml(where, child) + blank for child in children))


def insert_after(where: Extents, element: etree._Element, *children: Fragment) -> Edit:
    """Elements put behind another one."""
    at = where[element].end
    blank = where.blank_before(element)
    return Edit(Span(at, at), "".join(blank + _xml(where, child) for child in children))


def remove(where: Extents, element: etree._Element) -> Edit:
    """An element taken out, with the white space before it."""
    place = where[element]
    return Edit(Span(place.start - len(where.blank_before(element)), place.end), "")


def set_text(where: Extents, element: etree._Element, text: str) -> Edit:
    """Other text in an element that has no children."""
    place = where[element]
    if place.closes_itself:
        tag = where.source(element).removesuffix("/>").rstrip()
        return Edit(place.span, f"{tag}>{text}</{element.tag}>")
    found = where.text[place.inner : place.outer]
    lead = len(found) - len(found.lstrip())
    start = place.inner + (lead if found.strip() else 0)
    return Edit(Span(start, start + len(found.strip())), text)


def set_attribute(where: Extents, element: etree._Element, name: str, value: str) -> Edit:
    """Another value for an attribute, or the attribute behind those that the element has."""
    place = where[element]
    tag = where.text[place.start : place.inner]
    found = _attribute(tag, name)
    if found:
        group = 1 if found.group(1) is not None else 2
        return Edit(Span(place.start + found.start(group), place.start + found.end(group)), value)
    at = place.start + len(tag.removesuffix(">").removesuffix("/").rstrip())
    return Edit(Span(at, at), f' {name}="{value}"')


def remove_attribute(where: Extents, element: etree._Element, name: str) -> Edit:
    """An attribute taken out, with the white space before it. Raises ValueError where there is none."""
    place = where[element]
    found = _attribute(where.text[place.start : place.inner], name)
    if found is None:
        raise ValueError(f"<{element.tag}> has no {name}")
    return Edit(Span(place.start + found.start(), place.start + found.end()), "")


def _attribute(tag: str, name: str) -> re.Match[str] | None:
    return re.search(rf"""\s{name}\s*=\s*(?:"([^"]*)"|'([^']*)')""", tag)
