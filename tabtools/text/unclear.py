"""What the rhythm stage could not settle, as doubts about places of the page."""

from __future__ import annotations

from collections.abc import Iterator

from tabtools.doubts import BeatsMismatch, Doubt, RhythmUnclear
from tabtools.score import TimeSignature
from tabtools.source import Span
from tabtools.text.read import ReadSystem
from tabtools.text.rhythm import EVEN, UNCLEAR, Timing, spoken
from tabtools.text.rows.columns import RawBar

# More even notes than this are told by their number.
_MOST_NAMED = 12


def rhythm_doubts(system: ReadSystem) -> Iterator[Doubt]:
    """The first bar of a system whose rhythm is unclear, with both readings as counts and the number of the
    others, and notes that stand apart from their counts."""
    unclear = [
        _readings(_bar_span(system, raw), timing, time)
        for raw, timing, time in zip(system.bars, system.timings, system.times, strict=True)
        if timing.inferred is not None and timing.inferred.confidence < UNCLEAR and timing.onsets
    ]
    if unclear:
        first = unclear[0]
        yield RhythmUnclear(first.span, first.percent, first.reading, first.other, len(unclear) - 1)
    for raw, timing, time in zip(system.bars, system.timings, system.times, strict=True):
        if timing.mismatch:
            yield _mismatch(_bar_span(system, raw), timing, time)


def _bar_span(system: ReadSystem, raw: RawBar) -> Span:
    start, end = raw.bounds[0]
    return system.system.rows[0].line.span(start, max(start, end))


def _readings(span: Span, timing: Timing, time: TimeSignature) -> RhythmUnclear:
    """How sure the reading is in percent (nothing where it is even notes for want of a better one), and the
    readings as counts."""
    assert timing.inferred is not None
    if timing.inferred == EVEN and len(timing.onsets) > _MOST_NAMED:
        return RhythmUnclear(span, None, f"{len(timing.onsets)} of them")
    percent = None if timing.inferred == EVEN else round(100 * timing.inferred.confidence)
    other = spoken(timing.other, time) if timing.other else None
    return RhythmUnclear(span, percent, spoken(timing.onsets, time), other)


def _mismatch(span: Span, timing: Timing, time: TimeSignature) -> BeatsMismatch:
    """The counts of the notes that stand apart; none where the whole row does not fit the bar."""
    if len(timing.mismatch) == len(timing.onsets):
        return BeatsMismatch(span, "", time.name)
    return BeatsMismatch(span, spoken(timing.mismatch, time), time.name)
