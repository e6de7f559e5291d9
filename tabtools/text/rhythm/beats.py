"""The words of a count row to times: what each number counts, and which part of its beat a word says.

``&`` is the half, ``e`` and ``a`` are quarters, ``trip let`` thirds. ``1 & a`` and ``1 a`` may also be
thirds, and ``1 e`` two halves: a row that keeps proportion tells. Other words divide their beat evenly.
Common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from itertools import pairwise

from tabtools.record import NamedTuple
from tabtools.score import ZERO, Quarters, TimeSignature
from tabtools.text.rhythm.records import BarColumns
from tabtools.text.words.count_row import SPOKEN
from tabtools.theory.duration import is_compound

_THIRD, _HALF = Fraction(1, 3), Fraction(1, 2)
_SPOKEN: Mapping[str, Fraction] = {"trip": _THIRD, "let": 2 * _THIRD}
_STRAIGHT = {
    **_SPOKEN,
    "e": Fraction(1, 4),
    **dict.fromkeys(("&", "+", "and"), _HALF),
    "a": Fraction(3, 4),
}
_THIRDS = {**_SPOKEN, **dict.fromkeys(("&", "+", "and"), _THIRD), "a": 2 * _THIRD}
_HALVES = {"e": _HALF}
# What the words of a beat are when they are thirds, or halves.
_OF_THIRDS = (("&", "a"), ("+", "a"), ("and", "a"), ("a",))
_LONE = (_HALF, _THIRD, 2 * _THIRD)

Knot = tuple[int, Quarters]


class Beat(NamedTuple):
    """A number of a count row with its column, the words up to the next number, and the columns it takes."""

    number: int
    column: int
    words: tuple[tuple[int, str], ...]
    width: Fraction


def count_unit(time: TimeSignature) -> Quarters:
    """What one number of a count row counts, in quarter notes: the unit of the metre."""
    return Fraction(4, time.unit)


def knots_of(bar: BarColumns) -> list[Knot] | None:
    """Column and time, in quarter notes, of every count of a bar; None where its words make no sense."""
    beats = _beats(bar)
    if not beats:
        return None
    unit, dotted = _unit(bar, beats)
    parts = _parts(beats, dotted=dotted)
    if parts is None:
        return None
    found: list[Knot] = []
    first = (beats[0].number - 1) // bar.time.beats * bar.time.beats
    for beat, own in zip(beats, parts, strict=True):
        # Counts may go on through the bars: 1 2 3 4, then 5 6 7 8.
        start = (beat.number - 1 - first) * unit
        found += [(beat.column, start)] if beat.column >= 0 else []
        found += [(column, start + part * unit) for (column, _), part in zip(beat.words, own, strict=True)]
    return found


def times_spoken(bar: BarColumns) -> list[Knot] | None:
    """Column and time of every count of a bar whose words each say a time with its beat, ``1 1& 2 2&``; None
    for other rows."""
    spoken = [(column, SPOKEN.fullmatch(word)) for column, word in bar.counts]
    if not any(match and match["part"] for _, match in spoken):
        return None
    found: list[Knot] = []
    for column, match in spoken:
        if match is None:
            return None
        part = Fraction(int(match["step"]) - 1, int(match["steps"])) if match["step"] else ZERO
        part = part or _STRAIGHT.get(match["part"], ZERO)
        found.append((column, (int(match["beat"]) - 1 + part) * count_unit(bar.time)))
    return found


def _beats(bar: BarColumns) -> list[Beat]:
    """The numbers of a bar with what follows each; words before the first belong to the beat before."""
    groups: list[tuple[int, int, list[tuple[int, str]]]] = []
    for column, word in bar.counts:
        if word.isdigit():
            groups.append((int(word), column, []))
        elif groups:
            groups[-1][2].append((column, word))
        else:
            first = next((int(word) for _, word in bar.counts if word.isdigit()), 2)
            groups.append((first - 1, -1, [(column, word)]))
    widths = _widths(groups, bar)
    return [
        Beat(number, column, tuple(words), width)
        for (number, column, words), width in zip(groups, widths, strict=True)
    ]


def _widths(groups: Sequence[tuple[int, int, object]], bar: BarColumns) -> list[Fraction]:
    """The columns that each beat takes: up to the next number; the last one as the one before it."""
    found = [
        Fraction(after - at, max(later - number, 1))
        for (number, at, _), (later, after, _) in pairwise(groups)
    ]
    if groups:
        number, at, _ = groups[-1]
        left = max(bar.time.beats - number + 1, 1)
        found.append(found[-1] if found else Fraction(bar.width - at, left))
    return found


def _unit(bar: BarColumns, beats: Sequence[Beat]) -> tuple[Quarters, bool]:
    """What a number counts, and whether that is a dotted beat."""
    unit, most = count_unit(bar.time), max(beat.number for beat in beats)
    if is_compound(bar.time):
        dotted = bar.time.beats // 3
        parts = any(beat.words for beat in beats)
        # Without parts, numbers that span the bar count its beats, others its eighths.
        wide = most == len(beats) == dotted and 3 * beats[0].width * dotted > 2 * bar.width
        return (unit * 3, True) if dotted > 1 and most <= dotted and (parts or wide) else (unit, False)
    low = min(beat.number for beat in beats)
    halved = most == 2 * bar.time.beats or (bar.time.unit == 2 and most > bar.time.beats)
    return (unit / 2 if halved and low <= bar.time.beats else unit), False


def _parts(beats: Sequence[Beat], *, dotted: bool) -> list[tuple[Fraction, ...]] | None:
    """The part of its beat that every word says, beat by beat."""
    found: list[tuple[Fraction, ...]] = []
    table = _THIRDS if dotted else _table(beats)
    thirds = any(len(beat.words) > 1 and not _named(beat) for beat in beats)
    for beat in beats:
        own = tuple(word for _, word in beat.words)
        named = _STRAIGHT if table is _THIRDS and not dotted and own not in _OF_THIRDS else table
        parts = (
            tuple((named.get(word) or _STRAIGHT[word]) for word in own)
            if _named(beat)
            else _divided(beat, thirds=thirds)
        )
        if parts is None:
            return None
        found.append(parts)
    return found


def _named(beat: Beat) -> bool:
    return all(word in _STRAIGHT for _, word in beat.words)


def _table(beats: Sequence[Beat]) -> Mapping[str, Fraction]:
    """What the words mean that mean several things: as a row says that keeps proportion."""
    used = [beat for beat in beats if beat.words and _named(beat) and beat.column >= 0]
    widths = [beat.width for beat in beats if beat.column >= 0]
    if not used or max(widths) > min(widths) * Fraction(5, 4) + 1:
        return _STRAIGHT
    words = [tuple(word for _, word in beat.words) for beat in used]
    if all(own == ("e",) for own in words):
        other, apart = _HALVES, used
    elif any("e" in own for own in words):  # a row of quarters of a beat
        return _STRAIGHT
    else:
        other, apart = _THIRDS, [beat for beat, own in zip(used, words, strict=True) if own in _OF_THIRDS]
    # A slip of one word does not make the other reading much the better one.
    return other if 2 * sum(_errors(apart, other)) < sum(_errors(apart, _STRAIGHT)) else _STRAIGHT


def _errors(beats: Sequence[Beat], table: Mapping[str, Fraction]) -> Iterator[Fraction]:
    """How many columns the words stand off where a table puts them."""
    for beat in beats:
        yield from (abs(at - beat.column - table[word] * beat.width) for at, word in beat.words)


def _divided(beat: Beat, *, thirds: bool) -> tuple[Fraction, ...] | None:
    """Even parts of a beat; a lone word where it stands nearest. None where words among them say otherwise,
    or the parts would be none that music has."""
    count = len(beat.words) + 1
    if count == 2 and beat.column >= 0:
        lone = _LONE[1:] if thirds else _LONE
        off = [abs(beat.words[0][0] - beat.column - part * beat.width) for part in lone]
        return (lone[off.index(min(off))],)
    if count not in (3, 4, 6, 8) or beat.column < 0:
        return None
    parts = tuple(Fraction(index, count) for index in range(1, count))
    said = [
        part in (_STRAIGHT[word], _THIRDS.get(word))
        for (_, word), part in zip(beat.words, parts, strict=True)
        if word in _STRAIGHT
    ]
    return parts if all(said) else None
