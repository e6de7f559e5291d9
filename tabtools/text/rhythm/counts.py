"""Count rows, both ways: ``1 & 2 e & a`` over a bar to times, and the times of a bar to such words.

``1 2 3`` are beats (eighths where the metre counts eighths), or the dotted beats of a compound metre; what
the words between mean is said in ``beats``.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from fractions import Fraction
from itertools import pairwise

from tabtools.record import NamedTuple
from tabtools.score import ZERO, Quarters, TimeSignature
from tabtools.text.rhythm.beats import Knot, count_unit, knots_of, times_spoken
from tabtools.text.rhythm.records import BarColumns, Timing
from tabtools.text.rhythm.timing import until_next
from tabtools.text.words.count_row import SPOKEN

_WORDS = {
    Fraction(1, 4): "e",
    Fraction(1, 2): "&",
    Fraction(3, 4): "a",
    Fraction(1, 3): "trip",
    Fraction(2, 3): "let",
}
_FINEST = 8
_REACH = 1


class Counted(NamedTuple):
    """The times of a bar's onsets by its counts, and those of notes that stand apart from their count."""

    onsets: tuple[Quarters, ...]
    apart: tuple[Quarters, ...]


def count_words(onsets: Iterable[Quarters], time: TimeSignature) -> tuple[tuple[Quarters, str], ...]:
    """The words of a count row for a bar with these onsets, each with its time in quarter notes.

    Every beat has its number, every onset between beats its word, and a time that no word says the words
    around it, so that a note placed in proportion between them reads back as the same time.
    """
    unit = count_unit(time)
    counts = {index * unit: str(index + 1) for index in range(time.beats)}
    for onset in onsets:
        beat, part = divmod(onset / unit, 1)
        for near in (part,) if part in _WORDS or not part else _around(part):
            if near in _WORDS:
                counts[(beat + near) * unit] = _WORDS[near]
    return tuple(sorted(counts.items()))


def spoken(onsets: Iterable[Quarters], time: TimeSignature) -> str:
    """Onsets as a player names them, each with its beat: ``1 1& 2e``; where no word says it, which of how
    many parts of the beat, as in ``1(2of8)``."""
    names = []
    for onset in onsets:
        beat, part = divmod(onset / count_unit(time), 1)
        name = _WORDS.get(part, f"({part.numerator + 1}of{part.denominator})") if part else ""
        names.append(f"{int(beat) + 1}{name}")
    return " ".join(names)


def _around(part: Fraction) -> tuple[Fraction, ...]:
    """The parts of a beat that have words before and after one that has none."""
    words = [Fraction(place, 3 if part.denominator % 3 == 0 else 4) for place in range(5)]
    return max(place for place in words if place < part), min(place for place in words if place > part)


def read_counts(bar: BarColumns) -> Counted | None:
    """The onsets of a bar by its count row; None where the row does not count this bar: it runs backwards,
    goes on past the bar's metre, or stands apart from the notes.

    Each count is a knot of column and time. An onset at a knot has its time, and so has one a column off a
    knot that no other onset stands at. Others lie between two knots, at the nearest time that a bar is
    likely to have.
    """
    bar = _as_spoken(bar)
    knots = _shifted(_apart(times_spoken(bar) or knots_of(bar) or [], bar), bar)
    if not knots or any(later[1] <= earlier[1] for earlier, later in pairwise(knots)):
        return None
    if knots[-1][1] >= bar.time.length:
        return None
    if knots[-1][0] < bar.width:
        knots.append((bar.width, bar.time.length))
    if (in_order := _in_order(knots, bar)) is not None:
        return in_order
    onsets = _on_knots(knots, bar)
    rising = all(later > earlier for earlier, later in pairwise(onsets))
    return Counted(tuple(onsets), ()) if rising else None


def pickup_by_counts(bar: BarColumns, timing: Timing) -> Timing:
    """The timing of a narrow first bar by its counts: a pick-up from its first count on, where that is not
    the first of the bar."""
    knots = times_spoken(bar) or knots_of(bar)
    start = knots[0][1] if knots else ZERO
    if not start or start > timing.onsets[0]:
        return timing
    onsets = [onset - start for onset in timing.onsets]
    whole = until_next(onsets, bar.time.length - start, timing.inferred)
    return whole._replace(pickup=True, mismatch=tuple(onset - start for onset in timing.mismatch))


def _as_spoken(bar: BarColumns) -> BarColumns:
    """The bar with each count in one word again where every note has a word, a beat alone or a part with its
    beat: ``1 2& 3&``. Where all beats have the same part, ``1& 2& 3& 4&``, the row says all parts instead."""
    words: list[tuple[int, str]] = []
    for column, word in bar.counts:
        if words and column == words[-1][0] + len(words[-1][1]) and not word.isdigit():
            words[-1] = (words[-1][0], words[-1][1] + word)
        else:
            words.append((column, word))
    joined = sum(not word.isdigit() for _, word in words)
    met = len(words) == len(bar.onsets) and all(
        abs(column - onset) <= _REACH for (column, _), onset in zip(words, bar.onsets, strict=True)
    )
    single = all(SPOKEN.fullmatch(word) for _, word in words)
    return bar._replace(counts=tuple(words)) if met and single and 0 < joined < len(words) else bar


def _apart(knots: list[Knot], bar: BarColumns) -> list[Knot]:
    """The counts whose columns say something: of several in one word, as in ``1e&a``, only the first, unless
    the notes stand as close."""
    joined = {at for (before, _), (at, _) in pairwise(knots) if at == before + 1}
    if len(knots) == len(bar.onsets) and joined:
        return [(column, when) for column, (_, when) in zip(bar.onsets, knots, strict=True)]
    if set(bar.onsets) <= {column for column, _ in knots}:
        return knots
    return [knot for knot in knots if knot[0] not in joined]


def _shifted(knots: list[Knot], bar: BarColumns) -> list[Knot]:
    """The counts over the notes, where the whole row stands a column beside them: no note has its count."""

    def met(by: int) -> int:
        return len({column + by for column, _ in knots} & set(bar.onsets))

    sides = (1, -1) if knots and knots[0][0] > 0 else (1,)
    by = 0 if met(0) else max(sides, key=met)
    return [(column + by, when) for column, when in knots] if met(by) else knots


def _in_order(knots: Sequence[Knot], bar: BarColumns) -> Counted | None:
    """One count for every note, most of them over it: then they pair in order, and a note whose count stands
    elsewhere is apart from it. A row of nothing but all the beats may leave a beat without a note."""
    words = [knot for knot in knots if knot[0] < bar.width]
    if not words or len(words) != len(bar.onsets) or len(words) == bar.time.beats == len(_numbers(bar)):
        return None
    places = [at for at, _ in words]
    off = {column - at for at, column in zip(places, bar.onsets, strict=True)}
    if len(off) == 1 or max(map(abs, off)) <= _REACH:
        return Counted(tuple(when for _, when in words), ())
    apart: list[Quarters] = []
    for index, column in enumerate(bar.onsets):
        if any(abs(column - at) <= _REACH for at in (*places[:index], *places[index + 1 :])):
            return None
        if abs(column - places[index]) > _REACH:
            apart.append(words[index][1])
    few = apart and 4 * len(apart) <= len(words)
    return Counted(tuple(when for _, when in words), tuple(apart)) if few else None


def _numbers(bar: BarColumns) -> list[int]:
    return [int(word) for _, word in bar.counts if word.isdigit()]


def _on_knots(knots: list[Knot], bar: BarColumns) -> list[Quarters]:
    times = dict(knots)
    free = set(times) - set(bar.onsets)
    onsets: list[Quarters] = []
    for column in bar.onsets:
        near = next((at for at in (column - 1, column + 1) if at in free), None)
        if column in times:
            onsets.append(times[column])
        elif near is not None:
            free.discard(near)
            onsets.append(times[near])
        else:
            onsets.append(_between(knots, column, bar.time))
    return onsets


def _between(knots: Sequence[Knot], column: int, time: TimeSignature) -> Quarters:
    """The likeliest time at a column between two knots."""
    if len(knots) < 2:
        return knots[0][1]
    left, right = knots[0], knots[1]
    for first, second in pairwise(knots):
        if first[0] <= column:
            left, right = first, second
    slope = (right[1] - left[1]) / Fraction(right[0] - left[0])
    exact = max(left[1] + (column - left[0]) * slope, ZERO)
    unit = count_unit(time)
    straight = Fraction(round(exact / unit * _FINEST), _FINEST) * unit
    thirds = Fraction(round(exact / unit * 6), 6) * unit
    when = thirds if thirds == exact or abs(straight - exact) > slope / 2 else straight
    return min(when, time.length - unit / _FINEST)
