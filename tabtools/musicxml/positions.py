"""Exact places of all elements in the text of a file, worked out only when something is to be edited.

The text is parsed anew: the tree of a document may have been changed while it was read.
"""

from __future__ import annotations

import re
from functools import cached_property

from lxml import etree

from tabtools.record import NamedTuple
from tabtools.source import Span

_QUOTED = r"""(?:[^<>"']|"[^"]*"|'[^']*')*"""
_MARKUP = re.compile(
    rf"<!--.*?-->|<!\[CDATA\[.*?\]\]>|<\?.*?\?>|<!DOCTYPE{_QUOTED}(?:\[.*?\]\s*)?>|</[^>]*>|<[^!?/]{_QUOTED}>",
    re.DOTALL,
)


class Place(NamedTuple):
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


class Located:
    """The text of a well-formed file, its tree, and the place of every element of it."""

    def __init__(self, text: str) -> None:
        parser = etree.XMLParser(encoding="utf-8", resolve_entities=False, no_network=True, load_dtd=False)
        self.text = text
        self.root = etree.fromstring(text.encode("utf-8", "surrogatepass"), parser)
        elements = (element for element in self.root.iter() if isinstance(element.tag, str))
        self._places = dict(zip(elements, _places(text), strict=True))

    @cached_property
    def closing(self) -> str:
        """How tags of elements that close themselves mostly end in the file."""
        return " />" if 2 * self.text.count(" />") > self.text.count("/>") else "/>"

    def __getitem__(self, element: etree._Element) -> Place:
        return self._places[element]

    def blank_before(self, element: etree._Element) -> str:
        """The white space between an element and what stands before it."""
        start = end = self._places[element].start
        while start and self.text[start - 1].isspace():
            start -= 1
        return self.text[start:end]

    def source(self, element: etree._Element) -> str:
        """An element as it is written."""
        place = self._places[element]
        return self.text[place.start : place.end]


def _places(text: str) -> list[Place]:
    """The places of all elements in document order."""
    found: list[Place] = []
    open_: list[int] = []
    for match in _MARKUP.finditer(text):
        markup = match.group()
        if markup.startswith("</"):
            place = open_.pop()
            start, inner, _, _ = found[place]
            found[place] = Place(start, inner, match.start(), match.end())
        elif not markup.startswith(("<!", "<?")):
            if not markup.endswith("/>"):
                open_.append(len(found))
            found.append(Place(match.start(), *[match.end()] * 3))
    return found
