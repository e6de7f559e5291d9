"""Every line that is no string row gets its kind: once, in the light of where it stands, with its facts.

A chord row stands over a system and a lyric under one; a header stands before the first. What a line is
decides what is read from it: a tempo in a lyric is none.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from tabtools.doubts import Doubt
from tabtools.record import NamedTuple
from tabtools.text.page.clean import Line
from tabtools.text.page.facts import are_chords, directs, facts_of, is_header, says_feel
from tabtools.text.page.kinds import ABOVE, BELOW, BETWEEN, END, TOP, Fact, ReadLine, Token
from tabtools.text.page.layout import Block, Page, System
from tabtools.text.page.legend import Entry, entries_of, legend_of
from tabtools.text.page.licks import piece_named
from tabtools.text.page.marks import Legend, Marks, marks_for
from tabtools.text.page.tuning import read_tuning
from tabtools.text.patterns import lazy
from tabtools.text.words.annotations import (
    around_kind,
    marks_in,
    repeat_said,
    section_name,
    section_said,
    section_times,
)
from tabtools.text.words.headings import heading_of

_MAIL = lazy(r"(?:from|to|date|cc|reply-to|newsgroups|message-id):", re.IGNORECASE, needs=(":",))
# What opens or closes a block of plain text on a page of Markdown.
_FENCE = lazy(r"\s*```.*|~~~\w*")
_FRETS = lazy(r"(?<=-)\d{1,2}(?=[-|hpb/\\~]|$)")
# A line of facts under a system has no more words: a longer one is sung.
_MOST_WORDS = 5
_COUNT_ROW = lazy(r"\s*1\s+[&+e2.]")
# A legend says more about a line than these kinds do, and so do the marks of techniques.
_LOOSE = frozenset(("amounts", "endings", "words", "lyrics"))
# What a line is and says, whichever line of the page it is.
_Reading = tuple[str, tuple[Token, ...], tuple[Fact, ...], tuple[Entry, ...]]


class Told(NamedTuple):
    """A page whose lines all have their kinds; what its legend changes, and what of that is doubtful."""

    page: Page
    legend: Legend
    doubts: tuple[Doubt, ...]


def told(lines: Sequence[Line], blocks: Sequence[Block]) -> Told:
    """Give every line between and around the ``blocks`` of string rows its kind."""
    places = _places(lines, blocks)
    known: dict[tuple[str, str], _Reading] = {}
    readings: dict[int, _Reading] = {}
    for index, (place, _) in places.items():
        text = lines[index].text
        reading = known.get((text, place))
        if reading is None:
            reading = known[text, place] = _reading(text, place)
        readings[index] = reading
    legend, doubts = legend_of((lines[index], reading[3]) for index, reading in readings.items())
    marks = marks_for(legend)
    title = next((index for index, (place, _) in places.items() if place == TOP), None)
    above: list[list[ReadLine]] = [[] for _ in blocks]
    below: list[list[ReadLine]] = [[] for _ in blocks]
    prose: list[ReadLine] = []
    for index, (place, number) in places.items():
        kind, tokens, facts, _ = readings[index]
        line = lines[index]
        if place in (ABOVE, BELOW):
            if kind in _LOOSE and (found := marks_in(line.text, marks)):
                kind, tokens = "marks", found
            (above if place == ABOVE else below)[number].append(ReadLine(kind, line, tokens, facts))
        else:
            if index == title and kind == "section" and section_said(line.text) is None:
                kind, tokens = "prose", ()
                facts = tuple(fact for fact in facts if fact.name not in ("passes", "alone"))
            if index == title and kind in ("prose", "piece") and not says_feel(line.text):
                kind = "title"
            prose.append(ReadLine(kind, line, tokens, facts))
    systems = tuple(
        System(block.rows, tuple(over), tuple(under))
        for block, over, under in zip(blocks, above, below, strict=True)
    )
    return Told(Page(tuple(lines), systems, tuple(prose), legend), legend, doubts)


def read_above(text: str, marks: Marks | None = None) -> ReadLine:
    """What a line that has this text is right over a system."""
    kind, tokens, facts, _ = _reading(text, ABOVE)
    if kind in _LOOSE and (found := marks_in(text, marks or marks_for())):
        kind, tokens = "marks", found
    return ReadLine(kind, Line(1, text, 0), tokens, facts)


def _places(lines: Sequence[Line], blocks: Sequence[Block]) -> dict[int, tuple[str, int]]:
    """Where each line that is no string row and not blank stands, and the number of the system that it is
    over or under, in order of lines."""
    places: dict[int, tuple[str, int]] = {}
    floor = 0
    for number, block in enumerate(blocks):
        last = number + 1 == len(blocks)
        ceiling = len(lines) if last else blocks[number + 1].first
        over = list(_up_to_a_blank(lines, range(block.first - 1, floor - 1, -1)))[::-1]
        if number == 0:
            over = over[_heading([lines[index].text for index in over]) :]
        first = over[0] if over else block.first
        away = TOP if number == 0 else BETWEEN
        places |= {index: (away, number) for index in range(floor, first) if lines[index].text.strip()}
        places |= dict.fromkeys(over, (ABOVE, number))
        under = list(_up_to_a_blank(lines, range(block.end, ceiling)))
        if block.end + len(under) == ceiling and not last:
            under = under[: _hanging([lines[index].text for index in under])]
        places |= dict.fromkeys(under, (BELOW, number))
        floor = block.end + len(under)
    places |= {index: (END, len(blocks)) for index in range(floor, len(lines)) if lines[index].text.strip()}
    return places


def _up_to_a_blank(lines: Sequence[Line], indexes: range) -> Iterator[int]:
    for index in indexes:
        if not lines[index].text.strip():
            return
        yield index


def _heading(texts: Sequence[str]) -> int:
    """How many lines right over the first system are the heading of the page: those down to a header line,
    where no chords stand among them."""
    headers = [number for number, text in enumerate(texts, 1) if is_header(text)]
    heading = texts[: headers[-1]] if headers else []
    return 0 if any(map(are_chords, heading)) else len(heading)


def _hanging(texts: Sequence[str]) -> int:
    """How many lines between two systems, no blank among them, belong to the upper one: the counts."""
    return next((count for count, text in enumerate(texts) if not _COUNT_ROW.match(text)), len(texts))


def _reading(text: str, place: str) -> _Reading:
    if place in (ABOVE, BELOW):
        return _beside(text, place)
    return _away(text)


def _beside(text: str, place: str) -> _Reading:
    """What a line right over or under a system is."""
    if _is_furniture(text):
        return "furniture", (), (), ()
    facts = facts_of(text)
    header = is_header(text)
    if place == ABOVE and header:
        return "header", (), facts, ()
    if place == BELOW and (header or facts) and (":" in text if header else _all_facts(text, facts)):
        return "header", (), facts, ()
    if place == BELOW and header and any(map(_is_whole, facts)):
        return "header", (), facts, ()
    kind, tokens = around_kind(text)
    if kind == "words" and place == ABOVE and (heading := heading_of(text)) is not None:
        kind, tokens = "section", (Token(heading.name, tokens[0].start, tokens[-1].end),)
        return kind, tokens, (*_passes(text, heading.passes), *_piece(text)), ()
    entries = entries_of(text) if kind in _LOOSE else ()
    if entries:
        return "legend", tokens, (), entries
    if kind == "words" and place == ABOVE and directs(text, facts):
        return "direction", tokens, facts, ()
    named = (*_passes(text, section_times(text)[1]), *_piece(text)) if kind in ("section", "words") else ()
    if kind == "words" and named:
        return "piece", tokens, named, ()
    if kind == "section":
        return kind, tokens, named, ()
    if kind == "part":
        return kind, tokens, tuple(fact for fact in facts if fact.name == "capo"), ()
    if kind == "words" and _looks_like_a_row(text):
        return "unknown", tokens, (), ()
    return "lyrics" if kind == "words" and place == BELOW else kind, tokens, (), ()


def _all_facts(text: str, facts: Sequence[Fact]) -> bool:
    """Whether nothing but facts stands on a line, and few words."""
    if len(text.split()) > _MOST_WORDS:
        return False
    for fact in facts:
        text = text[: fact.start] + " " * (fact.end - fact.start) + text[fact.end :]
    return not any(map(str.isalnum, text))


def _is_whole(fact: Fact) -> bool:
    """Whether a field of a header has a value that can be one."""
    if fact.name != "tuning":
        return fact.how == "field" and fact.value is not None
    value = str(fact.value)
    return fact.how == "field" and read_tuning(value) is not None


def _away(text: str) -> _Reading:
    """What a line is that touches no system."""
    if _is_furniture(text):
        return "furniture", (), (), ()
    if not any(map(str.isalnum, text)):
        return "decoration", (), (), ()
    if _looks_like_a_row(text):
        return "unknown", (), (), ()
    facts, entries = facts_of(text), entries_of(text)
    if is_header(text):
        return "header", (), facts, entries
    if _MAIL.match(text.strip()):
        return "furniture", (), facts, ()
    piece = _piece(text)
    facts += piece
    if (name := section_said(text)) is not None:
        facts += _passes(text, section_times(text)[1])
        alone = section_name(text) is not None
        return "section", (Token(name, 0, len(text)),), (*facts, Fact("alone", alone, 0, 0)), entries
    heading = heading_of(text)
    if heading is not None:
        facts += (*_passes(text, heading.passes), Fact("alone", True, 0, 0))
        return "section", (Token(heading.name, 0, len(text)),), facts, entries
    if passes := _passes(text, repeat_said(text) or 0):
        return "times", (), (*facts, *passes), entries
    if entries:
        return "legend", (), facts, entries
    return "piece" if piece else "prose", (), facts, ()


def _passes(text: str, number: int) -> tuple[Fact, ...]:
    return (Fact("passes", number, 0, len(text)),) if number else ()


def _piece(text: str) -> tuple[Fact, ...]:
    name = piece_named(text)
    return (Fact("piece", name, 0, len(text)),) if name else ()


def _looks_like_a_row(text: str) -> bool:
    """Whether a line that belongs to no system is drawn like a string row: frets between hyphens."""
    body = text.strip()
    drawn = sum(sign in "-|" for sign in body)
    return 2 * drawn >= len(body) and len(_FRETS.findall(body)) > 1


def _is_furniture(text: str) -> bool:
    return _FENCE.fullmatch(text) is not None
