"""Duration letters over the notes: what the page writes is taken exactly."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from tabtools.score import ZERO, Quarters
from tabtools.text.rhythm.records import BarColumns, Timing
from tabtools.text.words.values import duration_word, read_duration

_TWO_THIRDS = Fraction(2, 3)
# What the letters under a triplet bracket are worth as written, in quarter notes.
_OF_THREE = tuple(3 * Fraction(2) ** power for power in range(-3, 2))


def read_letters(bar: BarColumns) -> Timing | None:
    """Durations as the letters say; None where they leave out a note, so that they say nothing certain.

    Each letter belongs to the onset at its column; one with no onset near is a rest. As many letters as
    onsets pair in order, wherever they stand.
    """
    values = _sounding(bar)
    in_order = len(values) == len(bar.onsets) and not any(rest for _, _, rest in values)
    onsets: list[Quarters] = []
    durations: list[Quarters] = []
    rests: list[tuple[Quarters, Quarters]] = []
    now = ZERO
    for column, value, rest in values:
        position = len(onsets)
        left = len(bar.onsets) - position
        if left and not rest and (in_order or abs(bar.onsets[position] - column) <= 1):
            onsets.append(now)
            durations.append(value)
        else:
            rests.append((now, value))
        now += value
    if len(onsets) < len(bar.onsets):
        return None
    return Timing(tuple(onsets), tuple(durations), tuple(rests))


def _sounding(bar: BarColumns) -> list[tuple[int, Quarters, bool]]:
    """Column, value as it sounds, and whether it is a rest, of every letter: two thirds of it under a triplet
    bracket. Letters that are not worth three of one value are no triplet, and as long as they say."""
    values = [(column, *(read_duration(word) or (ZERO, True))) for column, word in bar.letters]
    shorter: set[int] = set()
    for start, end in bar.brackets:
        under = [at for at, (column, _, _) in enumerate(values) if start - 1 <= column <= end]
        if sum((values[at][1] for at in under), ZERO) in _OF_THREE:
            shorter.update(under)
    return [
        (column, value * _TWO_THIRDS if at in shorter else value, rest)
        for at, (column, value, rest) in enumerate(values)
    ]


def held(bars: Sequence[BarColumns]) -> list[BarColumns]:
    """The bars with a letter for every note, where that fills them: a writer who sets letters only where the
    length changes means the last one by every note without one, over bar lines too."""
    if not any(bar.letters for bar in bars):
        return list(bars)
    filled, last = [], ""
    for bar in bars:
        bar = _lettered(bar, last) or _completed(bar) or bar
        filled.append(bar)
        last = next((word for _, word in reversed(bar.letters) if not _is_rest(word)), last)
    return filled


def _lettered(bar: BarColumns, last: str) -> BarColumns | None:
    """The bar with the letter in force over every note without one; None where they do not fill the bar, or
    where no letter stands over it and its columns say otherwise."""
    if not bar.letters and (bar.counts or not alike(bar.onsets)):
        return None
    words = dict(bar.letters)
    for column in bar.onsets:
        near = next((words[at] for at in (column, column - 1, column + 1) if at in words), None)
        if near is None and not last:
            return None
        if near is None:
            words[column] = last
        last = last if near is None or _is_rest(near) else near
    full = bar._replace(letters=tuple(sorted(words.items())))
    timing = read_letters(full)
    return full if timing is not None and total(timing) == bar.time.length else None


def _completed(bar: BarColumns) -> BarColumns | None:
    """The bar with a letter over the only note that has none, worth what the others leave of the bar."""
    bare = notes_without_letter(bar)
    if len(bare) != 1 or bar.counts or bar.brackets:
        return None
    left = bar.time.length - sum((value for _, value, _ in _sounding(bar)), ZERO)
    word = duration_word(left) if left > 0 else None
    return bar._replace(letters=tuple(sorted((*bar.letters, (bare[0], word))))) if word else None


def notes_without_letter(bar: BarColumns) -> list[int]:
    """The columns of the notes that no letter stands over, where the others have one of their own; none in a
    bar without letters, or with letters enough."""
    letters = [column for column, word in bar.letters if not _is_rest(word)]
    if not letters or len(letters) >= len(bar.onsets):
        return []
    bare = []
    for column in bar.onsets:
        near = next((at for at in (column, column - 1, column + 1) if at in letters), None)
        if near is None:
            bare.append(column)
        else:
            letters.remove(near)
    return bare if not letters else []


def _is_rest(word: str) -> bool:
    return (read_duration(word) or (ZERO, True))[1]


def alike(columns: Sequence[int]) -> bool:
    """Whether columns do not tell long notes from short ones."""
    wide = [late - early for early, late in pairwise(columns)]
    return max(wide, default=0) < 2 * min(wide, default=1)


def pickup_by_letters(bars: Sequence[BarColumns], written: Sequence[Timing | None]) -> bool:
    """Whether the letters of a first bar that is too short make it a pick-up: the last bar lacks as much, or
    the bar lasts whole half beats and lacks a beat at least."""
    first = written[0]
    if len(bars) < 2 or first is None or not bars[0].letters:
        return False
    time, length = bars[0].time, total(first)
    if not 0 < length < time.length:
        return False
    last = written[-1]
    lettered = last is not None and bars[-1].letters and bars[-1].time == time
    if last is not None and lettered and length + total(last) == time.length:
        return True
    unit = Fraction(4, time.unit)
    return time.length - length >= unit and (2 * length / unit).denominator == 1


def total(timing: Timing) -> Quarters:
    """What the notes and rests of a bar last together, in quarter notes."""
    return sum(timing.durations, ZERO) + sum((lasts for _, lasts in timing.rests), ZERO)
