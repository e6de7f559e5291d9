"""A page read as far as columns and time go: what the score and the formatter are both made from."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from functools import lru_cache
from typing import NamedTuple

from tabtools.document import NO_DEFAULTS, Defaults
from tabtools.score import COMMON_TIME, TimeSignature
from tabtools.source import Doubt, Source, Span, UnreadableError
from tabtools.techniques import BY_NAME
from tabtools.text.attach import Attached, attach, sections_between
from tabtools.text.clean import Line, clean_lines
from tabtools.text.columns import Column, RawBar, read_bars
from tabtools.text.doubts import REMARKS, bar_doubts, note_doubts, string_doubts
from tabtools.text.fillers import unify_fillers
from tabtools.text.flat import unflatten
from tabtools.text.header import (
    Header,
    later_header,
    names_tuning,
    read_header,
    with_defaults,
    without_tuning,
)
from tabtools.text.layout import Page, System, find_systems
from tabtools.text.legend import read_legend
from tabtools.text.licks import lick_names
from tabtools.text.marks import Legend, marks_for
from tabtools.text.mending import mend, staff_metre
from tabtools.text.page_doubts import (
    capo_doubt,
    german_doubts,
    grid_doubts,
    height_doubts,
    label_doubts,
    repeat_doubts,
    stacking_doubts,
    word_doubts,
)
from tabtools.text.refusal import why_no_tab
from tabtools.text.rhythm import BarColumns, Extent, Timing, read_rhythm
from tabtools.text.strings import Strings, choose_strings, labels_deny
from tabtools.text.surroundings import header_lines, legend_lines, lines_within, passes_said, title_of
from tabtools.text.wraps import join_wraps

_BASS: Legend = (("T", "slap"),)
LOSSY = ("cp1252", "latin-1")


class ReadSystem(NamedTuple):
    """One system: the header that it stands under, its strings, its bars with metre and timing, and what
    stands around it.

    ``doubts`` are about how it reads, ``remarks`` about how it may be meant. ``continues`` says that its
    first bar is the rest of the last bar of the system before, in the same part.
    """

    system: System
    header: Header
    strings: Strings
    bars: tuple[RawBar, ...]
    attached: Attached
    section: str | None
    doubts: tuple[Doubt, ...]
    times: tuple[TimeSignature, ...] = ()
    timings: tuple[Timing, ...] = ()
    remarks: tuple[Doubt, ...] = ()
    continues: bool = False


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
    whole, flat = unflatten(clean_lines(source))
    lines, wraps = join_wraps(unify_fillers(whole))
    page = find_systems(lines)
    if not page.systems:
        lossy = "; the file is not UTF-8 either, so it may be no text at all"
        raise UnreadableError(why_no_tab(lines) + (lossy if source.encoding in LOSSY else ""))
    header = with_defaults(read_header(header_lines(page)), defaults)
    if _said_too_late(page, header):
        header = without_tuning(header)
    legend, conflicts = read_legend(legend_lines(page))
    first_row = page.systems[0].rows[0].line.number
    said = (*word_doubts(legend_lines(page), first_row), *height_doubts(page.systems))
    systems = list(_read_systems(source, page, header, legend))
    doubts = (Doubt("encoding", Span(0, 0), (source.encoding,)),) if source.encoding in LOSSY else ()
    parts = tuple(tuple(_timed(_joined(group))) for group in _groups(systems))
    german = tuple(german_doubts((system.system, system.attached) for system in systems))
    title = header.title or title_of(page)
    return ReadPage(page, header, title, parts, (*doubts, *flat, *wraps, *conflicts, *said, *german))


def _said_too_late(page: Page, header: Header) -> bool:
    """Whether a tuning is said between systems, and those above have labels that are another one."""
    span = header.tuning_span
    if span is None:
        return False
    over, under = page.systems[0].rows[0].line, page.systems[-1].rows[0].line
    labels = tuple(row.label for row in page.systems[0].rows)
    return over.offset < span.start < under.offset and labels_deny(labels, header)


def _read_systems(source: Source, page: Page, header: Header, legend: Legend) -> Iterable[ReadSystem]:
    labels: tuple[str, ...] = ()
    floor = 0
    lines = header_lines(page)
    licks = lick_names(page)
    above: ReadSystem | None = None
    chosen: tuple[tuple[str, ...], Header, Strings] | None = None
    for number, system in enumerate(page.systems):
        former, labels = labels, _labels(system, labels)
        first = system.rows[0].line.number
        between = lines_within(lines, floor + 1, first)
        if number and any(names_tuning(line.text) for line in between):
            header = later_header(header, read_header(between))
        if chosen is None or chosen[:2] != (labels, header):
            chosen = (labels, header, choose_strings(labels, header))
        strings = chosen[2]
        marks = marks_for(_own_marks(legend, strings))
        system, slips = mend(system, source)
        bars, doubts = read_bars(system, marks)
        doubts += slips
        time = _staff_time(system, bars, doubts) if number == 0 else None
        attached = attach(system, bars, marks)
        if time:
            attached.times.setdefault(0, time)
        if licks:
            attached.part = attached.part or licks[number]
        if above is not None:
            _share_chords(above, system, attached, bars)
        section = attached.section or sections_between(line.text for line in between)
        doubts += string_doubts(system, labels, strings, header)
        doubts += note_doubts(system, bars, strings)
        if above is not None:
            doubts += stacking_doubts(above.system, system)
            unsaid = header == above.header and header.tuning_span is None
            doubts += label_doubts(former, labels, system) if unsaid and former != labels else ()
        above = _sorted_out(
            ReadSystem(system, header, strings, tuple(bars), attached, section, tuple(doubts))
        )
        floor = system.rows[-1].line.number
        following = page.systems[number + 1].rows[0].line.number if number + 1 < len(page.systems) else None
        yield _with_count(above, lines_within(lines, floor + 1, following), last=following is None)


def _with_count(system: ReadSystem, below: list[Line], *, last: bool) -> ReadSystem:
    """The system with the repeat count that stands below it, if any; between two systems it is doubtful."""
    if system.attached.passes:
        return system
    touching = system.system.rows[-1].line.number + 1
    doubt = passes_said(system.attached, below, touching)
    return system if doubt is None or last else system._replace(remarks=(*system.remarks, doubt))


def _staff_time(system: System, bars: list[RawBar], doubts: list[Doubt]) -> TimeSignature | None:
    """The metre that is drawn into a first cell of the staff, which then is no bar."""
    metre = staff_metre(system) if bars else None
    if metre is None:
        return None
    row = system.rows[0]
    span = row.line.span(row.start, bars.pop(0).end)
    doubts.append(Doubt("time-in-staff", span, (f"{metre[0]}/{metre[1]}",)))
    return TimeSignature(*metre)


def _own_marks(legend: Legend, strings: Strings) -> Legend:
    """The marks of a legend, and on a bass T for the thumb: its players slap."""
    bass = strings.instrument.name.lower().endswith("bass")
    return legend + _BASS if bass and "T" not in dict(legend) else legend


def _sorted_out(system: ReadSystem) -> ReadSystem:
    remarks = tuple(doubt for doubt in system.doubts if doubt.kind in REMARKS)
    doubts = tuple(doubt for doubt in system.doubts if doubt.kind not in REMARKS)
    return system._replace(doubts=doubts, remarks=(*system.remarks, *remarks))


def _share_chords(above: ReadSystem, system: System, attached: Attached, bars: list[RawBar]) -> None:
    """Chords that stand over a stack of guitars are those of every one of them."""
    gap = system.rows[0].line.number - above.system.rows[-1].line.number - 1
    stacked = attached.part is not None and above.attached.part not in (None, attached.part)
    touching = gap <= len(system.above) + len(above.system.below)
    if stacked and touching and not attached.chords and len(bars) == len(above.bars):
        attached.chords.update(above.attached.chords)


def _joined(systems: list[ReadSystem]) -> list[ReadSystem]:
    """The systems of one part, each told whether it goes on with the bar that the one before left open."""
    done: list[ReadSystem] = []
    for number, system in enumerate(systems):
        before = systems[number - 1] if number else None
        after = systems[number + 1] if number + 1 < len(systems) else None
        begins = before is not None and _goes_on(before, system)
        goes_on = after is not None and _goes_on(system, after)
        found = tuple(bar_doubts(system.system, system.bars, begins=begins, goes_on=goes_on))
        done.append(_sorted_out(system._replace(doubts=system.doubts + found, continues=begins)))
    pairs = [(system.system, system.bars) for system in done]
    open_ends = [
        *repeat_doubts(pairs),
        *grid_doubts(pairs),
        *((0, doubt) for doubt in capo_doubt(done[0].strings, pairs)),
    ]
    for index, doubt in open_ends:
        done[index] = done[index]._replace(remarks=(*done[index].remarks, doubt))
    return done


def _goes_on(one: ReadSystem, other: ReadSystem) -> bool:
    """Whether a bar is cut by the end of a system: no bar line there and none where the next one begins,
    though both have bar lines elsewhere. The stroke behind a label is none where the two pieces make up a
    bar as wide as most."""
    if not one.bars or not other.bars or len(one.system.rows) != len(other.system.rows):
        return False
    first, last = other.bars[0], one.bars[-1]
    if last.closed or not last.opened or not first.closed:
        return False
    return not first.opened or (
        any(row.label for row in other.system.rows) and _make_one(one.bars, other.bars)
    )


def _make_one(before: Sequence[RawBar], after: Sequence[RawBar]) -> bool:
    """Whether the last of some bars and the first of the next are together as wide as most of the others."""
    widths = Counter(bar.end - bar.start for bar in (*before[:-1], *after[1:]))
    pieces = [bar.end - bar.start for bar in (before[-1], after[0])]
    return bool(widths) and sum(pieces) == widths.most_common(1)[0][0] and min(pieces) > 2


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


def bar_columns(systems: Sequence[ReadSystem]) -> list[BarColumns]:
    """What the rhythm stage sees of one part: every bar's columns, with the metre in force; a bar cut in two
    is one."""
    return [columns for columns, _ in _columns_and_cuts(systems)]


def _columns_and_cuts(systems: Sequence[ReadSystem]) -> list[tuple[BarColumns, int | None]]:
    """The bars' columns, each with the onsets before the place where a line break cuts it, if one does."""
    time, assumed = systems[0].header.time or COMMON_TIME, systems[0].header.time is None
    found: list[tuple[BarColumns, int | None]] = []
    for system in systems:
        for index, bar in enumerate(system.bars):
            if index in system.attached.times:
                time, assumed = system.attached.times[index], False
            own = _bar_columns(bar, time, system.attached, index)._replace(assumed=assumed)
            if system.continues and index == 0:
                before = found[-1][0]
                found[-1] = _one_bar(before, own), len(before.onsets)
            else:
                found.append((own, None))
    return found


def _timed(systems: list[ReadSystem]) -> Iterable[ReadSystem]:
    """The systems of one part with metre and timing for every bar; rhythm is read over the whole part."""
    bars = _columns_and_cuts(systems)
    timings = [
        half
        for timing, (_, cut) in zip(read_rhythm([columns for columns, _ in bars]), bars, strict=True)
        for half in (_halves(timing, cut) if cut is not None else (timing,))
    ]
    done = 0
    for system in systems:
        end = done + len(system.bars)
        times = tuple(timing.time for timing in timings[done:end])
        yield system._replace(times=times, timings=tuple(timings[done:end]))
        done = end


def _one_bar(first: BarColumns, second: BarColumns) -> BarColumns:
    """Two pieces of one bar put together."""

    def behind(words: tuple[tuple[int, str], ...]) -> tuple[tuple[int, str], ...]:
        return tuple((column + first.width, word) for column, word in words)

    return first._replace(
        onsets=first.onsets + tuple(column + first.width for column in second.onsets),
        width=first.width + second.width,
        letters=first.letters + behind(second.letters),
        counts=first.counts + behind(second.counts),
        extents=first.extents + second.extents,
    )


def _halves(timing: Timing, cut: int) -> tuple[Timing, Timing]:
    """The timing of a bar for its pieces before and after a number of onsets."""
    at = timing.onsets[cut] if cut < len(timing.onsets) else None
    before = tuple(rest for rest in timing.rests if at is None or rest[0] < at)
    return (
        timing._replace(onsets=timing.onsets[:cut], durations=timing.durations[:cut], rests=before),
        timing._replace(
            onsets=timing.onsets[cut:], durations=timing.durations[cut:], rests=timing.rests[len(before) :]
        ),
    )


def _bar_columns(bar: RawBar, time: TimeSignature, attached: Attached, index: int) -> BarColumns:
    def shifted(words: list[tuple[int, str]]) -> tuple[tuple[int, str], ...]:
        return tuple((column - bar.start, word) for column, word in words)

    struck = [column for column in bar.columns if not column.grace]
    return BarColumns(
        tuple(column.column - bar.start for column in struck),
        bar.end - bar.start,
        time,
        shifted(attached.letters.get(index, [])),
        shifted(attached.counts.get(index, [])),
        tuple(_extent(column) for column in struck),
    )


def _extent(column: Column) -> Extent:
    """The columns and notes that one onset takes."""
    notes = [placed.note for placed in column.notes]
    if len(notes) == 1 and not notes[0].techniques:
        (note,) = notes
        return _shared(note.end - note.column, note.stop - note.column, 1, joined=False)
    digits = stop = column.column
    joined = True
    for note in notes:
        digits, stop = max(digits, note.end), max(stop, note.stop)
        joined = joined and bool(note.techniques) and BY_NAME[note.techniques[0].name].joins
    return _shared(digits - column.column, stop - column.column, len(notes), joined=joined)


@lru_cache(maxsize=256)
def _shared(digits: int, cell: int, notes: int, *, joined: bool) -> Extent:
    """One object for all onsets that take as much: a long page has few kinds."""
    return Extent(digits, cell, notes, joined)
