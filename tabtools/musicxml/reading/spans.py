"""Where elements stand in the text: exact character spans, which the tree itself does not keep.

They are worked out when somebody first asks for one, because most readings of a file never do. Until then an
element is known by its place among the tracked elements of the file, which no later change of the tree moves.
"""

from __future__ import annotations

import re
from functools import cached_property

from lxml import etree

from tabtools.source import Span

# None of these can hold another of its own kind.
TRACKED = ("measure", "note", "harmony", "direction", "attributes", "staff-details", "clef")


class Places:
    """The places of all tracked elements of a tree, by element."""

    __slots__ = ("_places", "_text")

    def __init__(self, text: str, root: etree._Element) -> None:
        """``text`` must be the one that the tree was parsed from."""
        self._text = _Text(text)
        self._places = {element: place for place, element in enumerate(root.iter(*TRACKED))}

    def of(self, element: etree._Element) -> Span | None:
        """The span of an element, from its ``<`` to the end of its end tag; None if it is not tracked."""
        place = self._places.get(element)
        return None if place is None else ElementSpan(self._text, place, place)

    def move(self, old: etree._Element, new: etree._Element) -> None:
        """Let an element that a tracked one was replaced with stand where that one stood."""
        self._places[new] = self._places[old]


class _Text:
    """A text and, when they are first needed, the spans of its tracked elements in document order."""

    def __init__(self, text: str) -> None:
        self._text = text

    @cached_property
    def spans(self) -> list[tuple[int, int]]:
        names = "|".join(TRACKED)
        pattern = re.compile(
            rf"<!--.*?-->|<!\[CDATA\[.*?\]\]>|<\?.*?\?>|<({names})(?=[\s/>])[^>]*?(/?)>|</({names})\s*>",
            re.DOTALL,
        )
        found: list[tuple[int, int]] = []
        open_: dict[str, int] = {}
        for match in pattern.finditer(self._text):
            started, closed, ended = match.groups()
            if started:
                open_[started] = len(found)
                found.append(match.span())
                if closed:
                    del open_[started]
            elif ended and ended in open_:
                place = open_.pop(ended)
                found[place] = found[place][0], match.end()
        return found


class ElementSpan(Span):
    """A span from the beginning of one tracked element to the end of another, worked out when it is read."""

    __slots__ = ("_first", "_last", "_text")

    def __init__(self, text: _Text, first: int, last: int) -> None:
        self._text = text
        self._first = first
        self._last = last

    def __getattr__(self, name: str) -> int:
        """``start`` and ``end``, which are not set before somebody reads them."""
        if name == "start":
            value = self._text.spans[self._first][0]
        elif name == "end":
            value = self._text.spans[self._last][1]
        else:
            raise AttributeError(name)
        setattr(self, name, value)
        return value

    def up_to(self, other: ElementSpan) -> ElementSpan:
        """From the beginning of this span to the end of another of the same file, or of this one."""
        return ElementSpan(self._text, self._first, max(self._last, other._last))

    def __reduce__(self) -> tuple[type[Span], tuple[int, int]]:
        return Span, (self.start, self.end)
