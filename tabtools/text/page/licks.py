"""Pages of several pieces: headings that number licks, examples or exercises make a part of each."""

from __future__ import annotations

import re
from bisect import bisect_left

from tabtools.text.page.layout import Page
from tabtools.text.patterns import lazy

_HEADING = lazy(
    r"[#*_\s]*(?P<name>(?:lick|exercise|example|ex\.?|study|etude|étude|variation|phrase|drill|fig\.?|figure)"
    r"[ ]?(?:no\.?[ ]?|#)?(?:\d{1,3}[a-z]?|(?-i:[A-Z]))|take[ ]?\d{1,2})\b",
    re.IGNORECASE,
    needs=("lick", "ex", "study", "etude", "étude", "variation", "phrase", "drill", "fig", "take"),
)


def piece_named(text: str) -> str | None:
    """The name of the piece that a line begins, as in ``Lick 2: over the turnaround``; None for other
    lines."""
    match = _HEADING.match(text)
    return match["name"] if match else None


def piece_names(page: Page) -> list[str | None]:
    """The name of the piece that every system of a page belongs to; empty unless two or more are named."""
    over = (line for system in page.systems for line in system.above)
    headings = sorted(
        (line.number, str(name)) for line in (*over, *page.prose) if (name := line.fact("piece")) is not None
    )
    if len({name.lower() for _, name in headings}) < 2:
        return []
    numbers = [number for number, _ in headings]
    names: list[str | None] = []
    for system in page.systems:
        place = bisect_left(numbers, system.rows[0].line.number)
        names.append(headings[place - 1][1] if place else None)
    return names if len(set(names)) > 1 else []
