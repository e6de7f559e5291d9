"""A page read as far as columns and time go: what the score and the formatter are both made from."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from tabtools.document import NO_DEFAULTS, Defaults
from tabtools.score import COMMON_TIME, TimeSignature
from tabtools.source import Doubt, Source, Span, UnreadableError
from tabtools.text.annotations import section_name
from tabtools.text.attach import Attached, attach, sections_between
from tabtools.text.clean import Line, clean_lines
from tabtools.text.columns import RawBar, read_bars
from tabtools.text.header import Header, is_header, later_header, read_header, with_defaults
from tabtools.text.layout import Page, System, find_systems
from tabtools.text.rhythm import BarColumns, Timing, read_rhythm
from tabtools.text.strings import Strings, choose_strings

_NO_TAB = (
    "no tab found: nothing here looks like string rows, three or more lines below each other made of "
    "hyphens, fret numbers and bar lines"
)
LOSSY = ("cp1252", "latin-1")


class ReadSystem(NamedTuple):
    """One system: the header that it stands under, its strings, its bars with metre and timing, and what
    stands around it."""

    system: System
    header: Header
    strings: Strings
    bars: tuple[RawBar, ...]
    attached: Attached
    section: str | None
    doubts: tuple[Doubt, ...]
    times: tuple[TimeSignature, ...] = ()
    timings: tuple[Timing, ...] = ()


class ReadPage(NamedTuple):
    """A page: its systems grouped into parts, in order; ``doubts`` are those about the page as a whole."""

    page: Page
    header: Header
    title: str | None
    parts: tuple[tuple[ReadSystem, ...], ...]
    doubts: tuple[Doubt, ...]


def read_page(source: Source, defaults: Defaults = NO_DEFAULTS) -> ReadPage:
    """Find and time everything on a page; ``defaults`` hold where it says nothing.

    Raises UnreadableError when the text holds no tab at all.
    """
    page = find_systems(clean_lines(source))
    if not page.systems:
        lossy = "; the file is not UTF-8 either, so it may be no text at all"
        raise UnreadableError(_NO_TAB + (lossy if source.encoding in LOSSY else ""))
    header = with_defaults(read_header(_header_lines(page)), defaults)
    systems = list(_read_systems(page, header))
    doubts = (Doubt("encoding", Span(0, 0), (source.encoding,)),) if source.encoding in LOSSY else ()
    parts = tuple(tuple(_timed(group)) for group in _groups(systems))
    return ReadPage(page, header, header.title or _title(page), parts, doubts)


def _read_systems(page: Page, header: Header) -> Iterable[ReadSystem]:
    labels: tuple[str, ...] = ()
    floor = 0
    lines = _header_lines(page)
    for number, system in enumerate(page.systems):
        labels = _labels(system, labels)
        bars, doubts = read_bars(system)
        first = system.rows[0].line.number
        between = [line for line in lines if floor < line.number < first]
        if number:
            header = later_header(header, read_header(between))
        attached = attach(system, bars)
        section = attached.section or sections_between(line.text for line in between)
        strings = choose_strings(labels, header)
        yield ReadSystem(system, header, strings, tuple(bars), attached, section, tuple(doubts))
        floor = system.rows[-1].line.number


def _header_lines(page: Page) -> list[Line]:
    """Prose, and header lines that touch a system, in order."""
    lines = list(page.prose)
    for system in page.systems:
        lines += [line for line in (*system.above, *system.below) if is_header(line.text)]
    return sorted(lines, key=lambda line: line.number)


def _title(page: Page) -> str | None:
    """The first line of a page, where it stands before all systems and is neither header nor label."""
    first = next((line for line in page.lines if line.text.strip()), None)
    if first is None or first not in page.prose or first.number > page.systems[0].rows[0].line.number:
        return None
    text = first.text.strip().strip("#*=- ")
    return None if not text or is_header(text) or section_name(text) else text


def _labels(system: System, before: tuple[str, ...]) -> tuple[str, ...]:
    """The labels of a system; bare rows keep those of the system before while the number is the same."""
    labels = tuple(row.label for row in system.rows)
    return before if not any(labels) and len(before) == len(labels) else labels


def _groups(systems: Sequence[ReadSystem]) -> list[list[ReadSystem]]:
    """Neighbouring systems of one instrument make one part, and so do all systems under one part name."""
    groups: list[list[ReadSystem]] = []
    named: dict[str, list[ReadSystem]] = {}
    for system in systems:
        name = system.attached.part
        if name is not None and name in named:
            named[name].append(system)
        elif name is None and groups and _same_instrument(groups[-1][-1], system):
            groups[-1].append(system)
        else:
            groups.append([system])
            if name is not None:
                named[name] = groups[-1]
    return groups


def _same_instrument(one: ReadSystem, other: ReadSystem) -> bool:
    return one.strings.instrument.tuning == other.strings.instrument.tuning


def _timed(systems: list[ReadSystem]) -> Iterable[ReadSystem]:
    """The systems of one part with metre and timing for every bar; rhythm is read over the whole part."""
    time = systems[0].header.time or COMMON_TIME
    columns: list[BarColumns] = []
    for system in systems:
        for index, bar in enumerate(system.bars):
            time = system.attached.times.get(index, time)
            columns.append(_bar_columns(bar, time, system.attached, index))
    timings = read_rhythm(columns)
    done = 0
    for system in systems:
        end = done + len(system.bars)
        times = tuple(bar.time for bar in columns[done:end])
        yield system._replace(times=times, timings=tuple(timings[done:end]))
        done = end


def _bar_columns(bar: RawBar, time: TimeSignature, attached: Attached, index: int) -> BarColumns:
    def shifted(words: list[tuple[int, str]]) -> tuple[tuple[int, str], ...]:
        return tuple((column - bar.start, word) for column, word in words)

    return BarColumns(
        tuple(column.column - bar.start for column in bar.columns if not column.grace),
        bar.end - bar.start,
        time,
        shifted(attached.letters.get(index, [])),
        shifted(attached.counts.get(index, [])),
    )
