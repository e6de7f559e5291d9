"""The same page in canonical layout: bars laid out in proportion to time, everything else left alone.

A system is rewritten only when its layout was understood, and only when reading the page again gives the same
music; what is not rewritten stays byte for byte.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Mapping, Sequence
from functools import cache
from operator import attrgetter
from typing import Any

from tabtools.record import NamedTuple
from tabtools.score import Bar
from tabtools.source import Source, UnreadableError
from tabtools.text.patterns import lazy
from tabtools.text.read import ReadPage, ReadSystem
from tabtools.text.reader import score_of
from tabtools.text.systems import read_page
from tabtools.text.writing.drawing import drawings
from tabtools.text.writing.fields import tidy_words
from tabtools.text.writing.laying import Recast
from tabtools.text.writing.pieces import Drawing, draw
from tabtools.text.writing.spacing import WIDTH

# What a system does without, one thing after the other, until it reads as the same music.
WHOLE, NO_COUNTS, ONE_LINE, LEFT = range(4)
_UNHEARD = ("span", "spans", "inferred")
# The classes with such fields, as other classes name them in theirs.
_PLACED = lazy(r"\b(?:Part|Bar|Event|Note|Harmony|Words|Tempo|Instrument)\b")
# Rounds until a page stays as it is; one is the rule.
_ROUNDS = 4
_CHANGES = "another layout would change how it reads"


class Formatted(NamedTuple):
    """The text of a page in canonical layout. ``left`` are the systems that stay as they are: the line of
    the first row, and why."""

    text: str
    left: tuple[tuple[int, str], ...] = ()


def format_text(source: Source, *, width: int = WIDTH, counts: bool = False) -> Formatted:
    """The whole text of a page with its systems in canonical layout.

    A system wider than ``width`` columns is cut at its bar lines. ``counts`` writes a count row under every
    system whose rhythm is known. A system stays as it is when its layout is doubtful, or when it would not
    read as the same music afterwards. Raises UnreadableError when the text holds no tab.
    """
    formatted, read = _round(source, read_page(source), width, counts=counts)
    left, before = formatted.left, source.text
    for _ in range(_ROUNDS):
        if formatted.text == before:
            break
        # What was cut or counted can make room for more: go on until nothing changes.
        before = formatted.text
        formatted, read = _round(source._replace(text=before), read, width, counts=counts)
    return Formatted(formatted.text, left)


def _round(source: Source, read: ReadPage, width: int, *, counts: bool) -> tuple[Formatted, ReadPage]:
    """One new layout, and what it reads as."""
    systems = in_order(read)
    words = tidy_words(source, read.page)
    drawn, left = drawings(source, systems, Recast(lines=words))
    said: _Said | None = None
    levels = dict.fromkeys(drawn, WHOLE if counts else NO_COUNTS)
    while True:
        text, owners = page_text(source, systems, drawn, levels, words, width)
        if text == source.text:
            break
        after = read_again(source, text)
        said = said or _says(read)
        changed = set(drawn) if after is None else _changed(said, _says(after, owners))
        if after is not None and not changed:
            read = after
            break
        # Where only systems that stay read otherwise, any of the others may be the reason.
        blamed = [number for number, level in levels.items() if level < LEFT]
        if not blamed and not words:  # nothing is changed, and yet it reads otherwise
            text = source.text
            break
        if not blamed:
            words = {}
        for number in [number for number in blamed if number in changed] or blamed:
            levels[number] += 1
    left |= {number: _CHANGES for number, level in levels.items() if level == LEFT}
    places = {first_row(systems[number]): why for number, why in left.items()}
    return Formatted(text, tuple(sorted(places.items()))), read


def read_again(source: Source, text: str) -> ReadPage | None:
    """The page with another text; None where it holds no tab."""
    try:
        return read_page(source._replace(text=text))
    except UnreadableError:
        return None


def in_order(read: ReadPage) -> list[ReadSystem]:
    """The systems of a page from top to bottom, whichever part they are of."""
    systems = [system for part in read.parts for system in part]
    return sorted(systems, key=first_row)


def first_row(system: ReadSystem) -> int:
    """The number of the line that a system's top row stands on."""
    return system.system.rows[0].line.number


def page_text(
    source: Source,
    systems: Sequence[ReadSystem],
    drawn: Mapping[int, Drawing],
    levels: Mapping[int, int],
    words: Mapping[int, str],
    width: int,
) -> tuple[str, dict[int, int]]:
    """The new text, and the place of the system that each line of a system comes from by line number.

    ``levels`` say what each drawn system does without, ``words`` are new texts for other lines."""
    end = line_end(source)
    pieces: list[str] = []
    owners: dict[int, int] = {}
    done, number = 1, 1

    def copy(last: int) -> None:
        nonlocal done, number
        for line in range(done, last + 1):
            start = source.line_starts[line - 1]
            old = source.line(line)
            stop = source.line_starts[line] if line < len(source.line_starts) else len(source.text)
            pieces.append(words.get(line, old) + source.text[start + len(old) : stop])
        number += max(last + 1 - done, 0)
        done = max(last + 1, done)  # several systems may stand on one line

    for place, system in enumerate(systems):
        first, last = system.system.first, system.system.last
        level = levels.get(place, LEFT)
        copy(first - 1)
        if level == LEFT:
            owners |= dict.fromkeys(range(number, number + last + 1 - first), place)
            copy(last)
            continue
        lines = draw(drawn[place], width if level < ONE_LINE else None, counts=level == WHOLE)
        owners |= dict.fromkeys(range(number, number + len(lines)), place)
        old_end = source.line_starts[last - 1] + len(source.line(last))
        stop = source.line_starts[last] if last < len(source.line_starts) else len(source.text)
        pieces.append(end.join(lines) + source.text[old_end:stop])
        done, number = last + 1, number + len(lines)
    copy(len(source.line_starts))
    return "".join(pieces), owners


def line_end(source: Source) -> str:
    """The line end that a page uses most."""
    crlf = source.text.count("\r\n")
    counts = {"\n": source.text.count("\n") - crlf, "\r\n": crlf, "\r": source.text.count("\r") - crlf}
    return max(counts, key=lambda end: counts[end])


class _Said(NamedTuple):
    """What a page says: of itself, in which order its systems go on, and in each of them."""

    page: object
    order: list[list[int]]
    bars: dict[int, list[object]]
    doubts: dict[int, Counter[str]]


def _says(read: ReadPage, owners: Mapping[int, int] | None = None) -> _Said:
    """``owners`` are the places of the systems that the lines come from by line number; without it every
    system is its own."""
    score = score_of(read)
    places = {id(system): place for place, system in enumerate(in_order(read))}
    order: list[list[int]] = []
    bars: dict[int, list[object]] = {}
    doubts: dict[int, Counter[str]] = {}
    for group, part in zip(read.parts, score.parts, strict=True):
        order.append([])
        done = 0
        for system in group:
            place = places[id(system)] if owners is None else owners.get(first_row(system), -1)
            if not order[-1] or order[-1][-1] != place:
                order[-1].append(place)
            found = part.bars[done : done + len(system.bars)]
            done += len(system.bars)
            bars.setdefault(place, []).extend(_music_of(bar) for bar in found)
            kinds = Counter(doubt.kind for doubt in system.doubts if doubt.layout != "settles")
            doubts[place] = doubts.get(place, Counter()) + kinds
    page = (score.title, score.composer, [(part.name, music(part.instrument)) for part in score.parts])
    return _Said(page, order, bars, doubts)


def _changed(before: _Said, after: _Said) -> set[int]:
    """The systems that no longer say the same; all of them when that cannot be told one by one."""
    if before.page != after.page or before.order != after.order:
        return set(before.bars)
    return {
        place
        for place, bars in before.bars.items()
        if bars != after.bars[place] or before.doubts[place] != after.doubts[place]
    }


def _music_of(bar: Bar) -> object:
    return music(bar._replace(number=0))


def music(score: object) -> object:
    """A score without the places that its parts were read from and how sure each reading is."""
    if not isinstance(score, tuple):
        return score
    kind: Any = type(score)
    if kind is tuple:
        return [music(item) for item in score]
    plain, deep = _heard(kind)
    return score if plain is None else (kind, plain(score), [music(getattr(score, name)) for name in deep])


@cache
def _heard(kind: Any) -> tuple[Callable[[object], object] | None, tuple[str, ...]]:
    """What of a class is music: a function that takes the fields that are so as a whole, and the names of
    those that hold more; None where the object itself is music."""
    heard = [name for name in kind._fields if name not in _UNHEARD]
    deep = tuple(name for name in heard if _PLACED.search(kind.__annotations__[name]))
    if not deep and len(heard) == len(kind._fields):
        return None, ()
    return attrgetter(*(name for name in heard if name not in deep)), deep
