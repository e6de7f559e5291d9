"""Duration letters over the notes: what the page writes is taken exactly."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from tabtools.score import ZERO, Quarters
from tabtools.text.rhythm.records import BarColumns, Timing
from tabtools.text.words.values import read_duration


def read_letters(bar: BarColumns) -> Timing | None:
    """Durations as the letters say; None where they leave out a note, so that they say nothing certain.

    Each letter belongs to the onset at its column; one with no onset near is a rest. As many letters as
    onsets pair in order, wherever they stand.
    """
    values = [
        (column, *_in_bracket(column, bar, *(read_duration(word) or (ZERO, True))))
        for column, word in bar.letters
    ]
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


def _in_bracket(column: int, bar: BarColumns, value: Quarters, rest: bool) -> tuple[Quarters, bool]:
    """The value as it sounds: under a triplet bracket, two thirds."""
    under = any(start - 1 <= column <= end for start, end in bar.brackets)
    return (value * Fraction(2, 3) if under else value), rest


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
