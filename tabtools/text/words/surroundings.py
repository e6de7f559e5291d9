"""The lines of a page that belong to no string row: header, legend, title, what is said between systems."""

from __future__ import annotations

import re
from bisect import bisect_left

from tabtools.doubts import Doubt, RepeatExtent
from tabtools.text.page.clean import Line
from tabtools.text.page.header import is_header, says_fact, says_feel
from tabtools.text.page.layout import Page
from tabtools.text.patterns import lazy
from tabtools.text.words.annotations import repeat_said, section_name
from tabtools.text.words.attach import Attached

_MAIL = lazy(r"(?:from|to|date|cc|subject|reply-to|newsgroups|message-id):", re.IGNORECASE)


def header_lines(page: Page) -> list[Line]:
    """Prose, and header lines that touch a system, in order."""
    lines = list(page.prose)
    for system in page.systems:
        lines += [
            line for line in (*system.above, *system.below) if is_header(line.text) or says_fact(line.text)
        ]
    return sorted(lines, key=lambda line: line.number)


def legend_lines(page: Page) -> list[Line]:
    lines = list(page.prose)
    for system in page.systems:
        lines += [*system.above, *system.below]
    return sorted(lines, key=lambda line: line.number)


def title_of(page: Page) -> str | None:
    """The first line of a page, where it stands before all systems and is neither header nor label."""
    first = next((line for line in page.lines if line.text.strip()), None)
    if first is None or first not in page.prose or first.number > page.systems[0].rows[0].line.number:
        return None
    if _MAIL.match(first.text):
        return None
    text = first.text.strip().strip("#*=- ")
    return None if not text or is_header(text) or section_name(text) or says_feel(text) else text


def lines_within(lines: list[Line], first: int, end: int | None) -> list[Line]:
    """The lines from number ``first`` up to ``end``, that one not included."""
    start = bisect_left(lines, first, key=lambda line: line.number)
    stop = len(lines) if end is None else bisect_left(lines, end, key=lambda line: line.number)
    return lines[start:stop]


def passes_said(attached: Attached, below: list[Line], touching: int) -> Doubt | None:
    """A repeat count on a line of its own below a system is that of the system; doubtful where it does not
    touch the system, on line ``touching``."""
    for line in below:
        if section_name(line.text) or is_header(line.text):
            break
        if passes := repeat_said(line.text):
            attached.passes = passes
            far = line.number > touching
            return RepeatExtent(line.span(0, len(line.text)), passes) if far else None
    return None


def passes_before(page: Page) -> list[Doubt]:
    """Repeat counts in the words before all systems, away from any: nobody knows what they are for."""
    first = page.systems[0].rows[0].line.number
    lines = (line for line in page.prose if line.number < first and not is_header(line.text))
    said = ((line, repeat_said(line.text)) for line in lines)
    return [
        RepeatExtent(line.span(0, len(line.text)), passes, music_taken=False)
        for line, passes in said
        if passes
    ]
