"""A page read as far as columns and time go: what the score and the formatter are both made from."""

from __future__ import annotations

from collections.abc import Iterable
from typing import cast

from tabtools.document import NO_DEFAULTS, Defaults
from tabtools.doubts import Doubt, Encoding, TimeInStaff
from tabtools.score import COMMON_TIME, TimeSignature
from tabtools.source import Source, Span, UnreadableError
from tabtools.text.page.clean import clean_lines
from tabtools.text.page.fillers import unify_fillers
from tabtools.text.page.flat import unflatten
from tabtools.text.page.header import Header, header_of, later_header, with_defaults, without_tuning
from tabtools.text.page.kinds import ReadLine
from tabtools.text.page.layout import Page, System, find_blocks
from tabtools.text.page.licks import piece_names
from tabtools.text.page.marks import Legend, marks_for
from tabtools.text.page.refusal import why_no_tab
from tabtools.text.page.strings import Strings, choose_strings, labels_deny
from tabtools.text.page.wraps import join_wraps
from tabtools.text.page_doubts import (
    german_doubts,
    height_doubts,
    label_doubts,
    stacking_doubts,
    word_doubts,
)
from tabtools.text.parts import groups, joined, sorted_out
from tabtools.text.read import ReadPage, ReadSystem
from tabtools.text.rhythm.halves import whole_bars
from tabtools.text.rows.columns import RawBar, read_bars
from tabtools.text.rows.lookalikes import lookalike_doubts
from tabtools.text.rows.mending import mend, staff_metre, with_even_labels
from tabtools.text.system_doubts import note_doubts, string_doubts
from tabtools.text.timed import timed
from tabtools.text.words.attach import Attached, attach
from tabtools.text.words.surroundings import (
    lines_within,
    passes_before,
    passes_below,
    section_between,
    title_of,
    words_of,
)
from tabtools.text.words.telling import told

_BASS: Legend = (("T", "slap"),)
LOSSY = ("cp1252", "latin-1")


def read_page(source: Source, defaults: Defaults = NO_DEFAULTS) -> ReadPage:
    """Find and time everything on a page; ``defaults`` hold where it says nothing.

    Raises UnreadableError when the text holds no tab at all.
    """
    whole, flat = unflatten(clean_lines(source))
    lines, wraps = join_wraps(unify_fillers(whole))
    blocks = find_blocks(lines)
    if not blocks:
        lossy = "; the file is not UTF-8 either, so it may be no text at all"
        raise UnreadableError(why_no_tab(lines) + (lossy if source.encoding in LOSSY else ""))
    page, legend, conflicts = told(lines, blocks)
    words = words_of(page)
    header = with_defaults(header_of(words), defaults)
    if _said_too_late(page, header):
        header = without_tuning(header)
    first_row = page.systems[0].rows[0].line.number
    said = (
        *word_doubts(words, first_row),
        *passes_before(page),
        *height_doubts(page.systems),
    )
    systems = list(_read_systems(source, page, header, legend))
    doubts = (Encoding(Span(0, 0), source.encoding),) if source.encoding in LOSSY else ()
    parts = tuple(tuple(timed(joined(group))) for group in groups(systems))
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
    capos: dict[str, int] = {}
    lines = words_of(page)
    pieces = piece_names(page)
    above: ReadSystem | None = None
    chosen: tuple[tuple[str, ...], Header, Strings] | None = None
    for number, system in enumerate(page.systems):
        former, labels = labels, _labels(system, labels)
        first = system.rows[0].line.number
        between = lines_within(lines, floor + 1, first)
        if number and any(fact.name == "tuning" for line in between for fact in line.facts):
            header = later_header(header, header_of(between))
        own_header = _of_part(header, system, capos)
        if chosen is None or chosen[:2] != (labels, own_header):
            chosen = (labels, own_header, choose_strings(labels, own_header))
        strings = chosen[2]
        marks = marks_for(_own_marks(legend, strings))
        system, slips = mend(system, source, {mark for mark, _ in legend})
        system, uneven = with_even_labels(system)
        bars, doubts = read_bars(system, marks)
        mended = {slip.span.start for slip in slips}
        doubts += (*slips, *uneven)
        doubts += (d for d in lookalike_doubts(system, source) if d.span.start not in mended)
        time = _staff_time(system, bars, doubts) if number == 0 else None
        attached = attach(system, bars, marks)
        whole = whole_bars(bars, attached.counts, (header.time or COMMON_TIME).beats)
        if len(whole) < len(bars):
            bars, attached = whole, attach(system, whole, marks)
        if time:
            attached.times.setdefault(0, time)
        if pieces:
            attached.part = attached.part or pieces[number]
        if above is not None:
            _share_chords(above, system, attached, bars)
        section, passes = section_between(between)
        if attached.section is None:
            attached.passes = attached.passes or passes
        section = attached.section or section
        doubts += string_doubts(system, labels, strings, own_header)
        doubts += note_doubts(system, bars, strings)
        if above is not None:
            doubts += stacking_doubts(above.system, system)
            unsaid = header == above.header and header.tuning_span is None
            doubts += label_doubts(former, labels, system) if unsaid and former != labels else ()
        above = sorted_out(ReadSystem(system, header, strings, tuple(bars), attached, section, tuple(doubts)))
        floor = system.rows[-1].line.number
        following = page.systems[number + 1].rows[0].line.number if number + 1 < len(page.systems) else None
        yield _with_count(above, lines_within(lines, floor + 1, following), last=following is None)


def _of_part(header: Header, system: System, capos: dict[str, int]) -> Header:
    """The header with the capo that a part says it has, beside its name; ``capos`` are those known so far."""
    part = next((line for line in system.above if line.kind == "part"), None)
    if part is None:
        return header
    name = part.tokens[0].text
    if (capo := part.fact("capo")) is not None:
        capos[name] = cast("int", capo)
    return header._replace(capo=capos[name]) if name in capos else header


def _with_count(system: ReadSystem, below: list[ReadLine], *, last: bool) -> ReadSystem:
    """The system with the repeat count that stands below it, if any; between two systems it is doubtful."""
    if system.attached.passes:
        return system
    touching = system.system.rows[-1].line.number + 1
    doubt = passes_below(system.attached, below, touching)
    return system if doubt is None or last else system._replace(remarks=(*system.remarks, doubt))


def _staff_time(system: System, bars: list[RawBar], doubts: list[Doubt]) -> TimeSignature | None:
    """The metre that is drawn into a first cell of the staff, which then is no bar."""
    metre = staff_metre(system) if bars else None
    if metre is None:
        return None
    row = system.rows[0]
    span = row.line.span(row.start, bars.pop(0).end)
    doubts.append(TimeInStaff(span, f"{metre[0]}/{metre[1]}"))
    return TimeSignature(*metre)


def _own_marks(legend: Legend, strings: Strings) -> Legend:
    """The marks of a legend, and on a bass T for the thumb: its players slap."""
    bass = strings.instrument.name.lower().endswith("bass")
    return legend + _BASS if bass and "T" not in dict(legend) else legend


def _share_chords(above: ReadSystem, system: System, attached: Attached, bars: list[RawBar]) -> None:
    """Chords that stand over a stack of guitars are those of every one of them."""
    gap = system.rows[0].line.number - above.system.rows[-1].line.number - 1
    stacked = attached.part is not None and above.attached.part not in (None, attached.part)
    touching = gap <= len(system.above) + len(above.system.below)
    if stacked and touching and not attached.chords and len(bars) == len(above.bars):
        attached.chords.update(above.attached.chords)


def _labels(system: System, before: tuple[str, ...]) -> tuple[str, ...]:
    """The labels of a system; bare rows keep those of the system before while the number is the same."""
    labels = tuple(row.label for row in system.rows)
    return before if not any(labels) and len(before) == len(labels) else labels
