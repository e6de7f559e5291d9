"""A part's bars to times: letters, counts and columns put together."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import lru_cache

from tabtools.score import Inferred, Quarters
from tabtools.text.rhythm.contradicted import as_shown
from tabtools.text.rhythm.counts import pickup_by_counts, read_counts
from tabtools.text.rhythm.letters import held, pickup_by_letters, read_letters
from tabtools.text.rhythm.metre import TICKS
from tabtools.text.rhythm.part import read_columns
from tabtools.text.rhythm.records import MOST_ONSETS, UNCLEAR, BarColumns, Timing
from tabtools.text.rhythm.said import NOTHING, Said, told
from tabtools.text.rhythm.settling import Reading
from tabtools.text.rhythm.short import suspects
from tabtools.text.rhythm.timing import even, until_next
from tabtools.text.rhythm.triplets import as_one, bracketed, parted
from tabtools.text.rhythm.unwritten import with_metre


def read_rhythm(bars: Sequence[BarColumns], said: Said = NOTHING) -> list[Timing]:
    """The timing of every bar of one part, in order; it names the metre, which is chosen where none is
    written. ``said`` is what the page says about rhythm in words."""
    bars = held(as_shown(with_metre(bars)))
    if not any(bracketed(bar) for bar in bars):
        return _read(bars, said)
    parts = [
        parted(timing, bar)
        for timing, bar in zip(_read([as_one(bar) for bar in bars], said), bars, strict=True)
    ]
    plain = _read(bars, said) if None in parts else []
    return [timing or plain[index] for index, timing in enumerate(parts)]


def _read(bars: Sequence[BarColumns], said: Said) -> list[Timing]:
    words = told(said, bars) if said != NOTHING else [None] * len(bars)
    written = [_written(bar) or timing for bar, timing in zip(bars, words, strict=True)]
    if written and written[0] is not None:
        if pickup_by_letters(bars, written):
            written[0] = written[0]._replace(pickup=True)
        elif bars[0].counts and 0 in suspects(bars):
            written[0] = pickup_by_counts(bars[0], written[0])
    if said.letters:
        bars = [bar._replace(doubtful=True) for bar in bars]
    by_columns = [
        None if timing or len(bar.onsets) > MOST_ONSETS else bar
        for bar, timing in zip(bars, written, strict=True)
    ]
    readings = read_columns(by_columns)
    return [
        (timing or _timing(bar, reading))._replace(time=bar.time)
        for bar, timing, reading in zip(bars, written, readings, strict=True)
    ]


def _written(bar: BarColumns) -> Timing | None:
    """The timing that letters or counts give; None where a bar has neither."""
    timing = read_letters(bar) if bar.letters else None
    if timing is None and bar.counts and (counted := read_counts(bar)) is not None:
        timing = until_next(counted.onsets, bar.time.length, None)._replace(mismatch=counted.apart)
    return timing


def _timing(bar: BarColumns, reading: Reading | None) -> Timing:
    """The timing that columns give. Counts that do not fit the bar are told."""
    if not bar.onsets:
        return until_next((), bar.time.length, None)
    timing = even(bar, bar.time.length) if reading is None else _by_columns(reading)
    return timing._replace(mismatch=timing.onsets) if bar.counts else timing


@lru_cache(maxsize=1024)
def _by_columns(reading: Reading) -> Timing:
    """One object for all bars that read alike: a long page has few."""
    length = Fraction(reading.length, TICKS)
    inferred = Inferred("rhythm", "columns", round(reading.confidence, 3))
    timing = until_next(_quarters(reading.ticks), length, inferred)
    other = _quarters(reading.other) if reading.confidence < UNCLEAR else ()
    return timing._replace(other=other, pickup=reading.short)


def _quarters(ticks: Sequence[int]) -> tuple[Quarters, ...]:
    return tuple(Fraction(tick, TICKS) for tick in ticks)
