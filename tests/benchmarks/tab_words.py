"""The rows that a writer sets over the strings: counts and duration letters in several styles."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from tests.benchmarks.tab_habits import Habit
from tests.benchmarks.tab_spacing import Laid
from tests.benchmarks.tunes import TICKS, Tune, TuneBar

_LETTERS = {96: "w", 72: "h.", 48: "h", 36: "q.", 24: "q", 18: "e.", 12: "e", 9: "s.", 6: "s", 3: "t"}
_COUNTS = {0: "", 6: "e", 12: "&", 18: "a", 8: "trip", 16: "let"}
_HALVES = {"plus": "+", "and": "and"}
_CHORDS = ("E", "A", "Em", "D7", "E", "G", "C")
Words = Iterator[tuple[int, str]]
# The ticks of a beat that a row names all through, whether a note stands there or not.
_RULERS = {"eighths": 12, "sixteenths": 6, "dots": 12, "beats": 24}


def names(bars: Sequence[tuple[Laid, TuneBar]], number: int) -> str:
    """Names of chords over the first note of every bar, and over some bars' middle."""
    line, at = "", 2
    for index, (laid, _) in enumerate(bars, number):
        line = line.ljust(at + min(laid.columns, default=1)) + _CHORDS[index % len(_CHORDS)]
        if index % 3 == 1:
            line = line.ljust(at + laid.width // 2 + 1) + _CHORDS[(index + 3) % len(_CHORDS)]
        at += laid.width + 1
    return line


def over(bars: Sequence[tuple[Laid, TuneBar]], habit: Habit, tune: Tune) -> str:
    """The row over some bars that stand side by side from column 2 on."""
    line, at = "", 2
    for laid, raw in bars:
        for column, word in _words(laid, raw, habit, tune):
            line = line.ljust(at + column) + word
        at += laid.width + 1
    return line


def _words(laid: Laid, raw: TuneBar, habit: Habit, tune: Tune) -> Words:
    if habit.over == "letters":
        return _letters(laid, raw, habit.style)
    if habit.style in _RULERS:
        return _ruler(laid, habit, tune)
    return _counts(laid, tune, habit.style)


def _letters(laid: Laid, bar: TuneBar, style: str) -> Words:
    """A letter over every note, and over every rest, or where it would stand, one with its sign."""
    ends = [*(one.tick for one in laid.struck[1:]), bar.length]
    for one, column, end in zip(laid.struck, laid.columns, ends, strict=True):
        word = _LETTERS[end - one.tick] + ("" if one.notes or style == "silent" else "r")
        yield column, word.upper() if style == "upper" else word


def _counts(laid: Laid, tune: Tune, style: str) -> Words:
    """A word over every beat (between the notes where none sounds) and over every note."""
    unit = 4 * TICKS // tune.unit
    ticks = dict(laid.sounding)
    ends = {**ticks, tune.full: laid.width}
    for tick in sorted({*ticks, *range(0, tune.full, unit)}):
        if tick not in ticks:
            before = max((t for t in ends if t < tick), default=tick)
            after = min(t for t in ends if t > tick)
            if before == tick:
                before, low = 0, 1
            else:
                low = ends[before]
            ticks[tick] = ends[tick] = low + (ends[after] - low) * (tick - before) // (after - before)
        part = tick % unit * TICKS // unit
        word = str(tick // unit + 1) if not part else _COUNTS[part]
        yield ticks[tick], _HALVES.get(style, word) if word == "&" else word


def _ruler(laid: Laid, habit: Habit, tune: Tune) -> Words:
    """All steps of the beat, at the columns that the writer's spacing gives them."""
    unit = 4 * TICKS // tune.unit
    step = _RULERS[habit.style] * unit // TICKS
    music = laid.width - habit.lead - habit.trail
    for tick in range(0, tune.full, step):
        part = tick % unit * TICKS // unit
        word = "." if part and habit.style == "dots" else _COUNTS[part]
        yield habit.lead + tick * music // tune.full, word if part else str(tick // unit + 1)


def counted(tune: Tune) -> bool:
    """Whether every onset has a word in a count row."""
    unit = 4 * TICKS // tune.unit
    return all(tick % unit * TICKS // unit in _COUNTS for bar in tune.bars for tick, _ in bar.onsets)


def lettered(tune: Tune) -> bool:
    """Whether every note's length has a letter."""
    return all(_has_letters(bar) for bar in tune.bars)


def _has_letters(bar: TuneBar) -> bool:
    ticks = [*(tick for tick, _ in bar.onsets), bar.length]
    return ticks[0] == 0 and all(late - early in _LETTERS for early, late in pairwise(ticks))
