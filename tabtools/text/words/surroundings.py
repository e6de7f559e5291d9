"""What the lines away from the strings say about a page as a whole, and about the systems between them."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Sequence

from tabtools.doubts import Doubt, RepeatExtent
from tabtools.source import Span
from tabtools.text.page.kinds import ReadLine
from tabtools.text.page.layout import Page
from tabtools.text.words.attach import Attached, passes_of


def words_of(page: Page) -> list[ReadLine]:
    """All lines of a page that are no string rows, in order."""
    lines = [*page.prose, *(line for system in page.systems for line in (*system.above, *system.below))]
    return sorted(lines, key=lambda line: line.number)


def title_of(page: Page) -> str | None:
    """The title that stands over a page without a word that says so."""
    first = next((line for line in page.prose if line.kind == "title"), None)
    return first.text.strip().strip("#*=- ") or None if first else None


def lines_within(lines: Sequence[ReadLine], first: int, end: int | None) -> list[ReadLine]:
    """The lines from number ``first`` up to ``end``, that one not included."""
    start = bisect_left(lines, first, key=lambda line: line.number)
    stop = len(lines) if end is None else bisect_left(lines, end, key=lambda line: line.number)
    return list(lines[start:stop])


def section_between(lines: Iterable[ReadLine]) -> tuple[str | None, int]:
    """The last section label among lines of prose, and the number of passes that is said behind it, or 0."""
    labels = [(line.tokens[0].text, passes_of(line)) for line in lines if line.kind == "section"]
    return labels[-1] if labels else (None, 0)


def passes_below(attached: Attached, below: Iterable[ReadLine], touching: int) -> Doubt | None:
    """A repeat count on a line of its own below a system is that of the system; doubtful where it does not
    touch the system, on line ``touching``."""
    for line in below:
        if line.kind == "header" or (line.kind == "section" and line.fact("alone")):
            break
        if line.kind == "times" and (passes := passes_of(line)):
            attached.passes = passes
            far = line.number > touching
            return RepeatExtent(_span(line), passes) if far else None
    return None


def passes_before(page: Page) -> list[Doubt]:
    """Repeat counts in the words before all systems, away from any: nobody knows what they are for."""
    first = page.systems[0].rows[0].line.number
    counts = (line for line in page.prose if line.number < first and line.kind == "times")
    return [RepeatExtent(_span(line), passes_of(line), music_taken=False) for line in counts]


def _span(line: ReadLine) -> Span:
    return line.line.span(0, len(line.text))
