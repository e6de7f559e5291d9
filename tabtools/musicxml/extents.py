"""Where the elements of a file stand in its text: exact characters, which a tree does not keep.

They are worked out when somebody first asks, in two steps, because most readings of a file never do: the
bars, notes and other elements of TRACKED in one search through the text, and what lies within one of them
when a place in it is wanted.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import cached_property

from lxml import etree

from tabtools.record import NamedTuple
from tabtools.source import Span

TRACKED = (
    *("part-list", "part", "measure", "note", "harmony", "direction", "attributes", "staff-details"),
    *("clef", "barline", "backup", "forward", "sound"),
)
_QUOTED = r"""(?:[^<>"']|"[^"]*"|'[^']*')*"""
_HIDDEN = r"<!--.*?-->|<!\[CDATA\[.*?\]\]>|<\?.*?\?>"
_DOCTYPE = rf"<!DOCTYPE{_QUOTED}(?:\[.*?\]\s*)?>"
_TRACKED = re.compile(
    rf"{_HIDDEN}|{_DOCTYPE}|</(?:{'|'.join(TRACKED)})\s*>|<(?:{'|'.join(TRACKED)})(?=[\s/>]){_QUOTED}>",
    re.DOTALL,
)
_MARKUP = re.compile(rf"{_HIDDEN}|{_DOCTYPE}|</[^>]*>|<[^!?/]{_QUOTED}>", re.DOTALL)


class Extent(NamedTuple):
    """An element in the text: from ``start`` to ``end``, its content from ``inner`` to ``outer``.

    An element that closes itself has no content: ``inner`` and ``outer`` are its end.
    """

    start: int
    inner: int
    outer: int
    end: int

    @property
    def span(self) -> Span:
        """The whole element, tags included."""
        return Span(self.start, self.end)

    @property
    def closes_itself(self) -> bool:
        """Whether it is written with one tag."""
        return self.inner == self.end


class Extents:
    """The extent of every element of a tree in the text that it was parsed from.

    ``extents[element]`` is its `Extent`. The tree must stay as it was parsed.
    """

    def __init__(self, text: str, root: etree._Element) -> None:
        self.text = text
        self.root = root

    @cached_property
    def _tracked(self) -> dict[etree._Element, Extent]:
        return dict(zip(self.root.iter(*TRACKED), _extents(_TRACKED, self.text, 0), strict=True))

    @cached_property
    def _within(self) -> dict[etree._Element, Extent]:
        return {}

    def __getitem__(self, element: etree._Element) -> Extent:
        extent = self._tracked.get(element) or self._within.get(element)
        if extent is None:
            holder = next((e for e in element.iterancestors(*TRACKED) if e in self._tracked), self.root)
            self._look_into(holder)
            extent = self._within[element]
        return extent

    def _look_into(self, holder: etree._Element) -> None:
        """Work out the extents of everything within an element."""
        extent = self._tracked.get(holder, Extent(0, 0, len(self.text), len(self.text)))
        elements = (element for element in holder.iter() if isinstance(element.tag, str))
        inside = self.text[extent.start : extent.end]
        self._within.update(zip(elements, _extents(_MARKUP, inside, extent.start), strict=True))

    def span(self, element: etree._Element) -> ElementSpan:
        """The span of an element, from its ``<`` to the end of its end tag, worked out when it is read."""
        return ElementSpan(self, element, element)

    @cached_property
    def closing(self) -> str:
        """How tags of elements that close themselves mostly end in the file."""
        return " />" if 2 * self.text.count(" />") > self.text.count("/>") else "/>"

    def blank_before(self, element: etree._Element) -> str:
        """The white space between an element and what stands before it."""
        start = end = self[element].start
        while start and self.text[start - 1].isspace():
            start -= 1
        return self.text[start:end]

    def source(self, element: etree._Element) -> str:
        """An element as it is written."""
        extent = self[element]
        return self.text[extent.start : extent.end]


def _extents(pattern: re.Pattern[str], text: str, offset: int) -> Iterator[Extent]:
    """The extents of the elements that a pattern finds, in document order; ``text`` starts at ``offset``."""
    extents: list[Extent] = []
    unclosed: list[int] = []
    for match in pattern.finditer(text):
        markup = match.group()
        if markup.startswith("</"):
            number = unclosed.pop()
            start, inner, _, _ = extents[number]
            extents[number] = Extent(start, inner, offset + match.start(), offset + match.end())
        elif not markup.startswith(("<!", "<?")):
            if not markup.endswith("/>"):
                unclosed.append(len(extents))
            end = offset + match.end()
            extents.append(Extent(offset + match.start(), end, end, end))
    return iter(extents)


class ElementSpan(Span):
    """A span from the beginning of one element to the end of another, worked out when it is read."""

    __slots__ = ("_extents", "_first", "_last")

    def __init__(self, extents: Extents, first: etree._Element, last: etree._Element) -> None:
        self._extents = extents
        self._first = first
        self._last = last

    def __getattr__(self, name: str) -> int:
        """``start`` and ``end``, which are not set before somebody reads them."""
        if name == "start":
            offset = self._extents[self._first].start
        elif name == "end":
            offset = self._extents[self._last].end
        else:
            raise AttributeError(name)
        setattr(self, name, offset)
        return offset

    def up_to(self, last: ElementSpan) -> ElementSpan:
        """From the beginning of this span to the end of a later one of the same file."""
        return ElementSpan(self._extents, self._first, last._last)

    def __reduce__(self) -> tuple[type[Span], tuple[int, int]]:
        return Span, (self.start, self.end)
