"""Tunes to text tab as people space it: a renderer of its own, which shares nothing with the package.

A habit says how many columns a step has, what a step is, what stands before the first note and after the last
step, what a wide number does to the columns behind it, how often a note slips, and what stands over the rows.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from math import gcd
from random import Random
from typing import NamedTuple

from tests.benchmarks.tunes import TICKS, Tune, TuneBar

OPEN = (64, 59, 55, 50, 45, 40)
LABELS = "eBGDAE"
A_LINE = 4
_LETTERS = {96: "w", 72: "h.", 48: "h", 36: "q.", 24: "q", 18: "e.", 12: "e", 9: "s.", 6: "s", 3: "t"}
_COUNTS = {0: "", 6: "e", 12: "&", 18: "a", 8: "trip", 16: "let"}


@dataclass(frozen=True)
class Habit:
    """``step`` is ``file`` or ``bar`` (the finest that is used there), or ticks; ``columns`` of it.

    ``push``: ``digits`` inserts a column for each further digit, ``tight`` only where there is no room.
    ``shared`` stretches the bars of a line to one width; ``packed`` leaves one hyphen after every note.
    ``bars`` cuts the tune into licks of so many bars, none of them spaced by more than an eighth a step.
    ``slips`` is the share of notes that stand a column off. ``over`` is ``counts`` or ``letters``.
    """

    name: str
    columns: int = 2
    step: str | int = "file"
    lead: int = 1
    trail: int = 0
    push: str = ""
    slips: float = 0.0
    over: str = ""
    material: str = "straight"
    shared: bool = False
    packed: bool = False
    high: bool = False
    chords: float = 0.0
    legato: float = 0.0
    rests: float = 0.0
    bars: int = 0


class Struck(NamedTuple):
    """One onset on the neck: the tick, (string row, fret) of each note, and the mark that joins it."""

    tick: int
    notes: tuple[tuple[int, int], ...]
    join: str = ""


class Page(NamedTuple):
    """The text, and the ticks of every bar's onsets."""

    text: str
    onsets: tuple[tuple[int, ...], ...]


class Laid(NamedTuple):
    struck: Sequence[Struck]
    columns: Sequence[int]
    width: int


def page(tune: Tune, habit: Habit, seed: int) -> Page:
    """A tune as a page."""
    random = Random(f"{habit.name} {tune.name} {seed}")
    step = _gcd(tune.bars, habit.step, tune)
    laid = [_lay(_fret(bar, habit, random), bar, step, habit, random) for bar in tune.bars]
    lines = [f"Title: {tune.name}", f"Time: {tune.beats}/{tune.unit}", ""]
    for at in range(0, len(laid), A_LINE):
        bars = list(zip(laid[at : at + A_LINE], tune.bars[at : at + A_LINE], strict=True))
        if habit.shared:
            width = max(bar.width for bar, _ in bars)
            bars = [(_stretch(bar, raw, width, habit), raw) for bar, raw in bars]
        if habit.over:
            lines.append(_over(bars, habit, tune))
        lines += [f"{LABELS[row]}|" + "|".join(_row(bar, row) for bar, _ in bars) + "|" for row in range(6)]
        lines.append("")
    return Page("\n".join(lines), tuple(tuple(one.tick for one in bar.struck) for bar in laid))


def _gcd(bars: Sequence[TuneBar], step: str | int, tune: Tune) -> int:
    if isinstance(step, int):
        return step
    found = gcd(tune.full, TICKS) if len(bars) > 3 else gcd(tune.full, 12)
    for bar in bars:
        found = gcd(found, bar.length, *(tick for tick, _ in bar.onsets))
    return found


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
        struck.append(Struck(tick, tuple(notes), join))
    if len(struck) > 2 and random.random() < habit.rests:
        struck = struck[1:]
    return struck


def _lay(struck: list[Struck], bar: TuneBar, step: int, habit: Habit, random: Random) -> Laid:
    if habit.packed:
        return _pack(struck, habit)
    if habit.step == "bar":
        step = gcd(TICKS if bar.length % TICKS == 0 else 12, bar.length, *(s.tick for s in struck))
    columns = [habit.lead + (2 * s.tick * habit.columns + step) // (2 * step) for s in struck]
    width = habit.lead + bar.length * habit.columns // step + habit.trail
    columns, width = _push(struck, columns, width, habit)
    return Laid(struck, _slip(struck, columns, width, habit, random), width)


def _digits(struck: Struck) -> int:
    return max(len(str(fret)) for _, fret in struck.notes)


def _needs(struck: Struck, after: Struck | None) -> int:
    """The fewest columns from one onset to the next."""
    return _digits(struck) + 1 + (len(after.join) if after and after.join else 0) - bool(after and after.join)


def _push(struck: list[Struck], columns: list[int], width: int, habit: Habit) -> tuple[list[int], int]:
    """Move everything behind a wide number, as the habit does it; marks that have no room always push."""
    moved, shift = [], 0
    for index, one in enumerate(struck):
        moved.append(columns[index] + shift)
        after = struck[index + 1] if index + 1 < len(struck) else None
        gap = (columns[index + 1] if after else width) - columns[index]
        if habit.push == "digits":
            shift += _digits(one) - 1
            gap += _digits(one) - 1
        shift += max(0, _needs(one, after) - gap) if after or habit.push == "tight" else 0
    return moved, width + shift


def _slip(struck: list[Struck], columns: list[int], width: int, habit: Habit, random: Random) -> list[int]:
    out = list(columns)
    for index in range(len(out)):
        if random.random() >= habit.slips:
            continue
        place = out[index] + random.choice((-1, 1))
        low = out[index - 1] + _needs(struck[index - 1], struck[index]) if index else 0
        high = width - _digits(struck[index])
        if index + 1 < len(out):
            high = columns[index + 1] - _needs(struck[index], struck[index + 1])
        if low <= place <= high:
            out[index] = place
    return out


def _pack(struck: list[Struck], habit: Habit) -> Laid:
    columns, at = [], habit.lead
    for index, one in enumerate(struck):
        columns.append(at)
        at += _needs(one, struck[index + 1] if index + 1 < len(struck) else None)
    return Laid(struck, columns, max(at, 2))


def _stretch(laid: Laid, bar: TuneBar, width: int, habit: Habit) -> Laid:
    """The bar at another width; numbers that would collide are shoved right."""
    music = width - habit.lead - habit.trail
    columns: list[int] = []
    for index, one in enumerate(laid.struck):
        place = habit.lead + (2 * one.tick * music + bar.length) // (2 * bar.length)
        if index:
            place = max(place, columns[-1] + _needs(laid.struck[index - 1], one))
        columns.append(place)
    return Laid(laid.struck, columns, max(width, columns[-1] + 2 if columns else 0))


def _row(bar: Laid, row: int) -> str:
    cells = ["-"] * bar.width
    for one, column in zip(bar.struck, bar.columns, strict=True):
        for index, (string, fret) in enumerate(one.notes):
            if string == row:
                text = (one.join if index == 0 else "") + str(fret)
                start = column + len(str(fret)) - len(text)
                cells[start : start + len(text)] = list(text)
    return "".join(cells)


def _over(bars: Sequence[tuple[Laid, TuneBar]], habit: Habit, tune: Tune) -> str:
    line, at = "", 2
    for laid, raw in bars:
        words = _letters(laid, raw) if habit.over == "letters" else _counts(laid, tune)
        for column, word in words:
            line = line.ljust(at + column) + word
        at += laid.width + 1
    return line


def _letters(laid: Laid, bar: TuneBar) -> Iterator[tuple[int, str]]:
    ends = [*(one.tick for one in laid.struck[1:]), bar.length]
    for one, column, end in zip(laid.struck, laid.columns, ends, strict=True):
        yield column, _LETTERS[end - one.tick]


def _counts(laid: Laid, tune: Tune) -> Iterator[tuple[int, str]]:
    """A word over every beat (between the notes where none sounds) and over every note."""
    unit = 4 * TICKS // tune.unit
    ticks = dict(zip((one.tick for one in laid.struck), laid.columns, strict=True))
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
        yield ticks[tick], str(tick // unit + 1) if not part else _COUNTS[part]


def counted(tune: Tune) -> bool:
    """Whether every onset has a word in a count row."""
    unit = 4 * TICKS // tune.unit
    return all(tick % unit * TICKS // unit in _COUNTS for bar in tune.bars for tick, _ in bar.onsets)


def lettered(tune: Tune) -> bool:
    """Whether every note's length has a letter."""
    return all(
        late - early in _LETTERS
        for bar in tune.bars
        for early, late in zip(
            [t for t, _ in bar.onsets], [*(t for t, _ in bar.onsets[1:]), bar.length], strict=True
        )
    ) and all(bar.onsets and bar.onsets[0][0] == 0 for bar in tune.bars)


def full_bars(tune: Tune, most: int = 20) -> Tune:
    """The tune's whole bars alone, at most so many."""
    return replace_bars(tune, [bar for bar in tune.bars if bar.length == tune.full][:most])


def replace_bars(tune: Tune, bars: Sequence[TuneBar]) -> Tune:
    return tune._replace(bars=tuple(bars))
