"""Repeats and endings."""

from __future__ import annotations

import re

from lxml import etree

from tabtools.musicxml.reading.state import RawBar
from tabtools.musicxml.reading.values import count

# "1, 2" as the standard has it, and "1-3" as some write it.
_PASSES = re.compile(r"(\d{1,2})(?:\s*-\s*(\d{1,2}))?")


def barline(element: etree._Element, raw: RawBar, passes: tuple[int, ...]) -> tuple[int, ...]:
    """Note in the bar what a bar line of it says.

    ``passes`` are those of the ending that is open; returns those of the one that is open now.
    """
    ending, repeat = element.find("ending"), element.find("repeat")
    if ending is not None:
        passes = _ending(ending, raw, passes)
    if repeat is not None:
        if repeat.get("direction") == "forward":
            raw.repeat_start = True
        else:
            raw.repeat_times = max(2, count(repeat.get("times")) or 2)
    return passes


def _ending(element: etree._Element, raw: RawBar, passes: tuple[int, ...]) -> tuple[int, ...]:
    if element.get("type") == "start":
        raw.endings = _passes(element.get("number") or "")
        return raw.endings
    raw.endings = raw.endings or passes
    return ()


def _passes(text: str) -> tuple[int, ...]:
    found: dict[int, None] = {}
    for first, last in _PASSES.findall(text):
        found.update(dict.fromkeys(range(int(first), int(last or first) + 1)))
    return tuple(found)
