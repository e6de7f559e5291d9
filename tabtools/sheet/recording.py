"""A teacher's own recording beside a lesson: where in it each passage is."""

from __future__ import annotations

import re
from collections.abc import Iterator

from tabtools.record import NamedTuple
from tabtools.sheet.lesson import Lesson, Passage
from tabtools.sheet.prose import Paragraph

_STAMP = re.compile(r"(?<![\d:.])(\d{1,2}):([0-5]\d)(?![\d:])")
_AFTER = 4.0  # seconds that play on behind the last passage that has a place


class Recording(NamedTuple):
    """A sound file: the address that the page plays it from, relative to the page or a data address."""

    address: str


def stamps(lesson: Lesson) -> dict[Passage, tuple[str, float, float]]:
    """The place in the recording that the author wrote at a passage: as written, and from where to where in
    seconds. It ends where the next one begins."""
    told = [(passage, match) for passage, match in _told(lesson)]
    places: dict[Passage, tuple[str, float, float]] = {}
    for number, (passage, match) in enumerate(told):
        start = _seconds(match)
        later = [_seconds(following) for _, following in told[number + 1 :] if _seconds(following) > start]
        places[passage] = (match[0], start, later[0] if later else start + _length(lesson, passage) + _AFTER)
    return places


def _told(lesson: Lesson) -> Iterator[tuple[Passage, re.Match[str]]]:
    prose: list[str] = []
    for block in lesson.blocks:
        if isinstance(block, Paragraph):
            prose.append(block.text)
            continue
        bar = lesson.score.parts[block.part].bars[block.first]
        words = [bar.section or "", *(w.text for w in bar.words), *prose[-1:]]
        prose = []
        match = next((stamped for text in words if (stamped := _STAMP.search(text))), None)
        if match:
            yield block, match


def _seconds(match: re.Match[str]) -> float:
    return 60.0 * int(match[1]) + int(match[2])


def _length(lesson: Lesson, passage: Passage) -> float:
    """How long a passage lasts by its tempo."""
    bars = lesson.score.parts[passage.part].bars
    tempo = next((bar.tempo for bar in bars[: passage.end][::-1] if bar.tempo), None)
    quarters = sum((bar.lasts for bar in bars[passage.first : passage.end]), start=0 * bars[0].lasts)
    return float(quarters * 60 / (tempo.per_minute * tempo.beat if tempo else 90))
