"""A note that stands twice in a voice, so that the voice is too long by just its length."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from tabtools.musicxml.clean.fault import Fault, Repair
from tabtools.musicxml.edit.insert import remove
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.located import LocatedBar, LocatedNote, LocatedPart

RULE = "note-doubled"


def faults(where: Extents, parts: Sequence[LocatedPart]) -> Iterator[Fault]:
    """A fault for every bar with a voice that one such note makes too long; no repair where several could be
    the one."""
    for part in parts:
        for bar in part.bars:
            if bar.length is None or bar.end <= bar.length:
                continue
            for notes in bar.voices().values():
                yield from _in_voice(where, bar, [note for note in notes if not note.grace])


def _in_voice(where: Extents, bar: LocatedBar, notes: Sequence[LocatedNote]) -> Iterator[Fault]:
    assert bar.length is not None
    lasts = sum((note.duration for note in notes if not note.chord), start=bar.length * 0)
    pairs = [
        (first, second)
        for first, second in pairwise(notes)
        if second.duration == lasts - bar.length > 0
        and where.source(first.element) == where.source(second.element)
    ]
    if not pairs:
        return
    _, second = pairs[0]
    over, span = lasts - bar.length, where[bar.content].span
    message = (
        f"the voice is {over} quarter notes too long for the bar, and this note stands twice: take one out"
    )
    repair = None
    if len({first.onset + second.onset for first, second in pairs}) == 1:
        repair = Repair(
            (remove(where, second.element),), "take the second of the two out", safe=False, changes=(span,)
        )
    yield Fault(RULE, where[second.element].span, message, bar.number, repair, span)
