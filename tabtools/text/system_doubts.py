"""What a whole system leaves open: its strings and their order, its outer bar lines, its bends."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache

from tabtools.doubts import (
    BanjoFifthString,
    BendAmount,
    Doubt,
    LowestOnTop,
    NoBarlines,
    NoLabels,
    OddLabel,
    SplitBar,
    StringsExchanged,
    StringsLeftOut,
    TuningDisagrees,
    TwoInstruments,
    UnclosedBar,
    UnnamedTuning,
)
from tabtools.instrument import TUNINGS, above_shapes
from tabtools.source import Span
from tabtools.text.page.header import Header
from tabtools.text.page.layout import System
from tabtools.text.page.string_names import StringName, label_names
from tabtools.text.page.string_row import Row
from tabtools.text.page.strings import Strings
from tabtools.text.page.tuning import usual_tuning
from tabtools.text.rows.columns import RawBar
from tabtools.theory.line_of_fifths import pitch_class, place_of_letter

_BENDS = ("bend", "bend-release", "prebend", "prebend-release")


def string_doubts(system: System, labels: Sequence[str], strings: Strings, header: Header) -> Iterator[Doubt]:
    """What is open about the strings of a system, whose ``labels`` may come from the system before."""
    rows = system.rows
    count, size = len(rows), len(strings.instrument.tuning)
    bare = [row for row in rows if not row.label]
    if not any(labels):
        yield NoLabels(_start(rows[0]), count, strings.instrument.name)
    elif bare and len(bare) < count:
        for row in bare:
            yield OddLabel(_start(row), "", strings.instrument.name)
    if strings.numbers[0] > strings.numbers[-1]:
        yield LowestOnTop(_start(rows[0]), strings.numbers[0])
    if count < size and any(labels):
        yield StringsLeftOut(_start(rows[0]), tuple(sorted(strings.numbers)), size)
    known = any(tuning.strings == strings.instrument.tuning for tuning in TUNINGS)
    names = [name.letter for name in _names(rows) if name]
    if other := _upside_down(names, strings, header):
        yield TwoInstruments(_start(rows[0]), " ".join(names), strings.instrument.name, other)
    meant = _in_order(names) if not known and header.tuning_span is None else tuple(names)
    if names and list(meant) != names:
        at = next(index for index, letter in enumerate(names) if letter != meant[index])
        yield StringsExchanged(_start(rows[at]), rows[at].label, " ".join(reversed(meant)))
    elif not known and header.tuning_span is None and not bare:
        spelled = " ".join(pitch.name for pitch in reversed(strings.instrument.tuning))
        yield UnnamedTuning(_start(rows[0]), spelled)
    if len(set(strings.numbers)) == count and not bare:
        yield from _contradictions(rows, strings, header)


def _upside_down(names: Sequence[str], strings: Strings, header: Header) -> str | None:
    """The commoner instrument whose strings these names are with the lowest on top, where nothing but the
    names says which one the page is for."""
    usual = usual_tuning(len(names), None)
    if usual is None or header.instrument is not None or header.tuning_span is not None:
        return None
    fits = [pitch.letter for pitch in reversed(usual.strings)] == list(names)
    return usual.instrument if fits and strings.numbers[0] == 1 else None


def _in_order(names: Sequence[str]) -> tuple[str, ...]:
    """The strings of the tuning, top row first, that has just these names in some order; the names as they
    are where there is none."""
    for tuning in TUNINGS:
        letters = tuple(pitch.letter for pitch in tuning.strings)
        if len(letters) == len(names) > 3 and sorted(letters) == sorted(names):
            return letters
    return tuple(names)


def _contradictions(rows: Sequence[Row], strings: Strings, header: Header) -> Iterator[Doubt]:
    """Labels that name another note than the string they stand at: with a tuning in the header they
    disagree with it, and without one they are no tuning that has a name."""
    tuning = strings.instrument.tuning
    if header.tuning_span is not None and _names_shapes(rows, strings):
        return
    for row, name, number in zip(rows, _names(rows), strings.numbers, strict=True):
        pitch = tuning[number - 1]
        if name is None or _class(name.letter) == pitch.midi % 12:
            continue
        if header.tuning_span is not None:
            yield TuningDisagrees(_start(row), row.label, number, pitch.letter)
        else:
            yield OddLabel(_start(row), row.label, strings.instrument.name)


def _names(rows: Sequence[Row]) -> list[StringName | None]:
    return label_names([row.label for row in rows])


def _names_shapes(rows: Sequence[Row], strings: Strings) -> bool:
    """Whether the labels are the strings' usual names, and all strings are tuned up or down together: then
    they name the string and not its pitch."""
    above = above_shapes(strings.instrument) - strings.instrument.capo
    names = _names(rows)
    return above != 0 and all(
        name is not None and (strings.instrument.tuning[number - 1].midi - above) % 12 == _class(name.letter)
        for name, number in zip(names, strings.numbers, strict=True)
    )


def bar_doubts(system: System, bars: Sequence[RawBar], *, begins: bool, goes_on: bool) -> Iterator[Doubt]:
    """What is open at the edges of a system; ``begins`` and ``goes_on`` say that its first or last bar is one
    with a bar of a neighbouring system."""
    if not bars:
        return
    row = system.rows[0]
    end = row.line.span(max(row.end - 1, row.start), row.end)
    if len(bars) == 1 and not bars[0].opened and not bars[0].closed:
        yield NoBarlines(_start(row))
        return
    if begins:
        yield SplitBar(_start(row))
    elif not bars[0].opened:
        yield UnclosedBar(_start(row), last=False)
    if not bars[-1].closed and not goes_on:
        yield UnclosedBar(end, last=True)


def note_doubts(system: System, bars: Sequence[RawBar], strings: Strings) -> Iterator[Doubt]:
    """Bends that nothing gives a size, and frets that are counted in more ways than one."""
    banjo = strings.instrument.name == "Banjo"
    for bar in bars:
        notes = [note for column in bar.columns for note in column.notes if banjo or note.techniques]
        for note in notes:
            line = system.rows[note.row].line
            if any(t.name in _BENDS and t.value is None for t in note.techniques):
                yield BendAmount(line.span(note.start, note.stop))
            if banjo and strings.numbers[note.row] == 5 and note.fret:
                yield BanjoFifthString(line.span(note.start, note.end), note.fret, note.fret + 5)


def _start(row: Row) -> Span:
    """The label of a row and its first column."""
    begin = min(len(row.line.text) - len(row.line.text.lstrip()), row.start)
    return row.line.span(begin, min(row.start + 1, len(row.line.text)))


@cache
def _class(letter: str) -> int:
    return pitch_class(place_of_letter(letter))
