"""A ``backup`` that is too long, too short or not there, so that the music behind it begins elsewhere."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from fractions import Fraction

from lxml import etree

from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.edit.insert import insert_before, set_text
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.located import LocatedBar, LocatedNote, LocatedPart
from tabtools.musicxml.reading.values import ticks
from tabtools.musicxml.writing.fragment import decimal, tag
from tabtools.score import ZERO, Quarters

RULE = "backup-misplaced"


@dataclass
class _Run:
    """The music between two backups: where it begins, how long it is, and the backup before it. ``before`` is
    the place in time at which that backup stood, ``moved`` what it says; all in quarter notes."""

    start: Quarters = ZERO
    before: Quarters = ZERO
    moved: Quarters = ZERO
    backup: etree._Element | None = None
    length: Quarters = ZERO
    notes: list[LocatedNote] = field(default_factory=list)


def faults(where: Extents, parts: Sequence[LocatedPart]) -> Iterator[Fault]:
    """A fault for every such place, with a repair where the lengths of bar and voices prove it."""
    for part in parts:
        for bar in part.bars:
            if bar.length is not None and bar.notes:
                runs = _runs(bar)
                for run in runs:
                    yield from _misplaced(where, bar, run)
                yield from _missing(where, bar, runs)


def _runs(bar: LocatedBar) -> list[_Run]:
    """The runs of a bar, in the divisions in force for its notes."""
    notes = {note.element: note for note in bar.notes}
    divisions = bar.notes[0].divisions
    runs = [_Run()]
    for child in bar.content:
        run = runs[-1]
        now = run.start + run.length
        if child.tag == "note":
            note = notes[child]
            divisions = note.divisions
            run.notes.append(note)
            run.length += ZERO if note.chord else note.duration
        elif child.tag == "forward":
            run.length += _moved(child, divisions)
        elif child.tag == "backup":
            moved = _moved(child, divisions)
            runs.append(_Run(max(ZERO, now - moved), now, moved, child))
    return runs


def _moved(element: etree._Element, divisions: Fraction) -> Quarters:
    return Fraction(ticks(element.find("duration")) or 0) / divisions


def _misplaced(where: Extents, bar: LocatedBar, run: _Run) -> Iterator[Fault]:
    """The fault of a backup beyond the beginning of the bar, or one that leaves a full voice no room."""
    if run.backup is None or not run.notes:
        return
    beyond = run.moved - run.before
    late = run.start > 0 and run.length == run.before == bar.length
    if beyond <= 0 and not late:
        return
    message = (
        f"the backup goes back {run.moved} quarter notes, {beyond} more than the bar has before it: "
        f"it is read "
        "as one to the beginning of the bar"
        if beyond > 0
        else f"the backup goes back {run.moved} quarter notes, and the {run.length} behind it fill the bar "
        f"only from its beginning: it is {run.start} short"
    )
    duration, amount = run.backup.find("duration"), run.before * run.notes[0].divisions
    repair = None
    # Where the voice before it does not fill the bar, a note of that voice may be what is wrong.
    full = run.before == bar.length
    if duration is not None and full and amount.denominator == 1:
        edit = set_text(where, duration, decimal(amount))
        span = where[bar.content].span
        words = f"make the backup {amount} divisions: back to the beginning of the bar"
        repair = Repair((edit,), words, safe=beyond > 0, changes=() if beyond > 0 else (span,))
    explains = None if beyond > 0 else where[bar.content].span
    yield Fault(RULE, where[run.backup].span, message, bar.number, repair, explains)


def _missing(where: Extents, bar: LocatedBar, runs: Sequence[_Run]) -> Iterator[Fault]:
    """The fault of a run that is as long as two bars and goes over to another staff in the middle."""
    assert bar.length is not None
    for run in runs:
        after = [note for note in run.notes if note.onset >= bar.length and not note.chord]
        before = [note for note in run.notes if note.onset < bar.length]
        if run.start or run.length != 2 * bar.length or not after or not before:
            continue
        first = after[0]
        if first.onset != bar.length or {n.staff for n in after} & {n.staff for n in before}:
            continue
        amount = bar.length * first.divisions
        message = (
            f"staff {first.staff} begins where the bar of {bar.length} quarter notes is full: a "
            f"backup to its "
            "beginning is missing before this note"
        )
        edit = insert_before(where, first.element, tag("backup", tag("duration", decimal(amount))))
        span = where[bar.content].span
        repair = Repair((edit,), "put a backup to the beginning of the bar in", safe=False, changes=(span,))
        yield Fault(RULE, where[first.element].span, message, bar.number, repair, span)
