"""Tunes to text tab as people space it: a renderer of its own, which shares nothing with the package."""

from __future__ import annotations

from collections.abc import Sequence
from random import Random
from typing import NamedTuple

from tests.benchmarks.tab_habits import Habit
from tests.benchmarks.tab_spacing import Laid, Struck, common_step, lay, padded, stretch
from tests.benchmarks.tab_words import names, over
from tests.benchmarks.tunes import Tune, TuneBar

OPEN = (64, 59, 55, 50, 45, 40)
LABELS = "eBGDAE"
A_LINE = 4
# The rows that have the dots of a sign of repetition.
_DOTTED = (2, 3)


class Page(NamedTuple):
    """The text, and the ticks of every bar's onsets."""

    text: str
    onsets: tuple[tuple[int, ...], ...]


def page(tune: Tune, habit: Habit, seed: int) -> Page:
    """A tune as a page."""
    random = Random(f"{habit.name} {tune.name} {seed}")
    step = common_step(tune.bars, habit.step, tune)
    laid = [
        lay(_fret(bar, habit, random), bar, step, habit, random, at // A_LINE, at % A_LINE == 0)
        for at, bar in enumerate(tune.bars)
    ]
    lines = [f"Title: {tune.name}", *[f"Time: {tune.beats}/{tune.unit}"] * (not habit.unwritten), ""]
    for at in range(0, len(laid), A_LINE):
        bars = list(zip(laid[at : at + A_LINE], tune.bars[at : at + A_LINE], strict=True))
        width = max(bar.width for bar, _ in bars)
        if habit.shared:
            bars = [(stretch(bar, raw, width, habit), raw) for bar, raw in bars]
        if habit.padded:
            bars = [(padded(bar, width, habit.padded), raw) for bar, raw in bars]
        if habit.names:
            lines.append(names(bars, at))
        if habit.over and not (at and habit.style == "first"):
            lines.append(over(bars, habit, tune))
        lines += [f"{LABELS[row]}|{_line([bar for bar, _ in bars], row, habit)}|" for row in range(6)]
        lines.append("")
    return Page("\n".join(lines), tuple(tuple(tick for tick, _ in bar.sounding) for bar in laid))


def _fret(bar: TuneBar, habit: Habit, random: Random) -> list[Struck]:
    """Put the bar on the neck: around the ninth fret where numbers are to be wide, else low down."""
    struck: list[Struck] = []
    base, most = (8, 14) if habit.high else (0, 9)
    for tick, pitch in bar.onsets:
        note = pitch if habit.high else pitch - 12
        places = [(row, note - string) for row, string in enumerate(OPEN) if 0 <= note - string <= most]
        if not places:
            places = [(0, max(0, min(note - 64, most)))]
        fits = [place for place in places if place[1] >= base] or places
        row, fret = random.choice(fits) if habit.high else min(fits, key=lambda place: place[1])
        notes = [(row, fret)]
        if random.random() < habit.chords:
            more = random.randint(1, 3)
            notes += [
                (r, max(0, fret + random.randint(-2, 2))) for r in range(row + 1, min(6, row + 1 + more))
            ]
            notes = [(r, min(f, 9) if not habit.high else f) for r, f in notes]
        before = struck[-1].notes[0] if struck else None
        joined = before and before[0] == row and before[1] != fret and random.random() < habit.legato
        join = ("h" if before and before[1] < fret else "p") if joined else ""
        tail = f"b{fret + 2}" if habit.bends and random.random() < habit.bends else ""
        struck.append(Struck(tick, tuple(notes), join, tail))
    if len(struck) > 2 and random.random() < habit.rests:
        struck = [struck[0]._replace(notes=()), *struck[1:]]
    return [one._replace(notes=()) if random.random() < habit.holes else one for one in struck]


def _line(bars: Sequence[Laid], row: int, habit: Habit) -> str:
    """One string's row through the bars of a line."""
    line = "|".join(_row(bar, row, habit) for bar in bars)
    sign = ":" if row in _DOTTED else "-"
    return f"{sign}{line}{sign}" if habit.repeats else line


def _row(bar: Laid, row: int, habit: Habit) -> str:
    cells = ["-"] * bar.width
    for one, column in zip(bar.struck, bar.columns, strict=True):
        for index, (string, fret) in enumerate(one.notes):
            if string == row:
                join, tail = (one.join, one.tail) if index == 0 else ("", "")
                text = join + str(fret) + tail
                start = column - len(join)
                start -= (len(str(fret)) - 1) * (habit.right and start > 0)
                cells[start : start + len(text)] = list(text)
    return "".join(cells)


def full_bars(tune: Tune, most: int = 20) -> Tune:
    """The tune's whole bars alone, at most so many."""
    return replace_bars(tune, [bar for bar in tune.bars if bar.length == tune.full][:most])


def replace_bars(tune: Tune, bars: Sequence[TuneBar]) -> Tune:
    return tune._replace(bars=tuple(bars))
