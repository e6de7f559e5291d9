"""Where elements stand in the text: exact character spans, which the tree itself does not keep."""

from __future__ import annotations

import re

from lxml import etree

from tabtools.source import Span

# None of these can hold another of its own kind.
TRACKED = ("measure", "note", "harmony", "direction", "attributes", "staff-details")


def spans(text: str, root: etree._Element) -> dict[etree._Element, Span]:
    """The span of every tracked element, from its ``<`` to the end of its end tag.

    The text must be the one that the tree was parsed from: the elements are paired in document order.
    """
    names = "|".join(TRACKED)
    pattern = re.compile(
        rf"<!--.*?-->|<!\[CDATA\[.*?\]\]>|<\?.*?\?>|<({names})(?=[\s/>])[^>]*?(/?)>|</({names})\s*>",
        re.DOTALL,
    )
    found: list[Span] = []
    open_: dict[str, int] = {}
    for match in pattern.finditer(text):
        started, closed, ended = match.groups()
        if started:
            open_[started] = len(found)
            found.append(Span(match.start(), match.end()))
            if closed:
                del open_[started]
        elif ended and ended in open_:
            place = open_.pop(ended)
            found[place] = Span(found[place].start, match.end())
    return dict(zip(root.iter(*TRACKED), found, strict=False))
