"""Repeats and endings."""

from __future__ import annotations

import re
from dataclasses import replace

from lxml import etree

from tabtools.score import Bar

_NUMBER = re.compile(r"\d+")


def barline(element: etree._Element, bar: Bar, passes: tuple[int, ...]) -> tuple[Bar, tuple[int, ...]]:
    """The bar with what a bar line of it says; ``passes`` are those of the ending that is open."""
    ending, repeat = element.find("ending"), element.find("repeat")
    if ending is not None:
        bar, passes = _ending(ending, bar, passes)
    if repeat is None:
        return bar, passes
    if repeat.get("direction") == "forward":
        return replace(bar, repeat_start=True), passes
    times = repeat.get("times") or "2"
    return replace(bar, repeat_times=max(2, int(times)) if times.isdecimal() else 2), passes


def _ending(element: etree._Element, bar: Bar, passes: tuple[int, ...]) -> tuple[Bar, tuple[int, ...]]:
    if element.get("type") == "start":
        passes = tuple(int(number) for number in _NUMBER.findall(element.get("number") or ""))
        return replace(bar, endings=passes), passes
    return (bar if bar.endings else replace(bar, endings=passes)), ()
