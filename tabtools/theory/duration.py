"""Note values: how a duration at a place in the bar is written, as tied values, dots and tuplets.

The bar is a tree: bar, half bar or beats, beats, halves of beats and so on down. A value may hide a
division of the tree only where engraving practice lets it (Gould, "Behind Bars", from memory): the middle
of a 4/4 bar and the dotted beats of a compound metre stay visible, a plain syncopation may cross a beat.
"""

from __future__ import annotations

from fractions import Fraction
from functools import cache, lru_cache
from itertools import pairwise
from math import lcm

from tabtools.record import NamedTuple
from tabtools.score import ZERO, Quarters, TimeSignature, Tuplet

# Undotted values in quarter notes, under the names that MusicXML gives them.
TYPES = {
    "maxima": Fraction(32),
    "long": Fraction(16),
    "breve": Fraction(8),
    "whole": Fraction(4),
    "half": Fraction(2),
    "quarter": Fraction(1),
    "eighth": Fraction(1, 2),
    "16th": Fraction(1, 4),
    "32nd": Fraction(1, 8),
    "64th": Fraction(1, 16),
    "128th": Fraction(1, 32),
    "256th": Fraction(1, 64),
    "512th": Fraction(1, 128),
    "1024th": Fraction(1, 256),
}
_SHORTEST = TYPES["1024th"]


@cache
def _written() -> dict[Quarters, tuple[str, int]]:
    """Type and dots of every length that one value has."""
    return {
        length * (2 - Fraction(1, 2**dots)): (name, dots)
        for dots in (0, 1, 2)
        for name, length in TYPES.items()
    }


@cache
def _longest_first() -> list[Quarters]:
    return sorted((length for length, (_, dots) in _written().items() if dots < 2), reverse=True)


class Value(NamedTuple):
    """One written value: its exact length in quarter notes, its type as MusicXML names it, and its dots.

    In a tuplet the type and dots say the value as written, which is not the length that sounds.
    """

    duration: Quarters
    type: str
    dots: int = 0
    tuplet: Tuplet | None = None


@lru_cache(maxsize=4096)
def split(
    onset: Quarters, duration: Quarters, time: TimeSignature, is_rest: bool = False
) -> tuple[Value, ...]:
    """The values that write ``duration`` from ``onset`` (both in quarter notes); their sum is exact.

    A note's values are to be tied. A rest never hides a division of the bar. Past the end of the bar the
    metre goes on. Raises ValueError for a duration of 0 or less and for a negative onset.
    """
    if duration <= 0 or onset < 0:
        raise ValueError(f"no value lasts {duration} from {onset}")
    values: list[Value] = []
    now, end = onset, onset + duration
    while now < end:
        bar = now // time.length * time.length
        stop = min(end, bar + time.length)
        values += _within(now - bar, stop - bar, _bar(time), is_rest)
        now = stop
    return tuple(values)


def single(duration: Quarters, tuplet: Tuplet | None = None) -> Value | None:
    """The one value, with up to two dots, that lasts so long (in ``tuplet``); None where there is none."""
    written = _written().get(duration * tuplet.actual / tuplet.normal if tuplet else duration)
    return Value(duration, *written, tuplet) if written else None


@lru_cache(maxsize=64)
def beats(time: TimeSignature) -> tuple[Quarters, ...]:
    """Where the beats of a bar start, and its end, in quarter notes.

    Compound metres have dotted beats; 5/8, 7/8 and the like have beats of two and three eighths.
    """
    starts = [ZERO]
    for size in _beat_sizes(time):
        starts.append(starts[-1] + Fraction(4 * size, time.unit))
    return tuple(starts)


def is_compound(time: TimeSignature) -> bool:
    """Whether the beats are dotted and divide in three: 6/8, 12/8, 6/4, and 3/8 as one beat."""
    return time.beats % 3 == 0 and (time.beats > 3 or time.unit >= 8)


def _beat_sizes(time: TimeSignature) -> list[int]:
    count = time.beats
    if is_compound(time):
        return [3] * (count // 3)
    if time.unit < 8:
        return [1] * count
    return [2] * (count // 2) if count % 2 == 0 else _odd_groups(count)


def _odd_groups(count: int) -> list[int]:
    if count <= 3:
        return [count]
    return [3, 2] if count == 5 else [2] * ((count - 3) // 2) + [3]


class _Node(NamedTuple):
    """A stretch of the bar: the places that bound and divide it, and the units in each division.

    ``kind`` is ``half``, ``thirds`` or ``groups``: what a value may hide depends on it.
    """

    kind: str
    edges: tuple[Quarters, ...]
    counts: tuple[int, ...]

    @property
    def length(self) -> Quarters:
        return self.edges[-1] - self.edges[0]

    def around(self, start: Quarters, end: Quarters) -> _Node | None:
        """The division that holds the whole stretch, if one does."""
        for (low, high), count in zip(pairwise(self.edges), self.counts, strict=True):
            if low <= start and end <= high:
                return _node(low, count, (high - low) / count)
        return None


def _node(start: Quarters, count: int, unit: Quarters) -> _Node:
    """The node of ``count`` units from ``start``; a single unit divides into halves."""
    if count == 1:
        return _Node("half", (start, start + unit / 2, start + unit), (1, 1))
    kind, counts = _division(count)
    edges = [start]
    for size in counts:
        edges.append(edges[-1] + size * unit)
    return _Node(kind, tuple(edges), tuple(counts))


def _division(count: int) -> tuple[str, list[int]]:
    """How ``count`` units divide: by two while that works, by three, or unevenly."""
    if count == 3:
        return "thirds", [1, 1, 1]
    if count & (count - 1) == 0:
        return "half", [count // 2] * 2
    if count % 3 == 0 and count % 12:
        return "groups", [3] * (count // 3)
    return "groups", [count // 2] * 2 if count % 2 == 0 else _odd_groups(count)


@lru_cache(maxsize=64)
def _bar(time: TimeSignature) -> _Node:
    return _node(ZERO, time.beats, Fraction(4, time.unit))


def _within(start: Quarters, end: Quarters, node: _Node, is_rest: bool) -> list[Value]:
    """The values from ``start`` to ``end``, both inside ``node``."""
    if node.length < _SHORTEST:
        return [_odd_value(end - start)]
    odd = _odd_part(lcm((start - node.edges[0]).denominator, (end - node.edges[0]).denominator))
    if odd > 1:
        if _on_grid(start, end, node, odd):
            return _in_tuplet(end - start, node, odd)
    elif _may_stand(start, end, node, is_rest):
        written = _written().get(end - start)
        if written and written[1] < 2:
            return [Value(end - start, *written)]
    if inner := node.around(start, end):
        return _within(start, end, inner, is_rest)
    inside = [edge for edge in node.edges if start < edge < end]
    cut = inside[-1] if start in node.edges and not is_rest else inside[0]
    return _within(start, cut, node, is_rest) + _within(cut, end, node, is_rest)


def _may_stand(start: Quarters, end: Quarters, node: _Node, is_rest: bool) -> bool:
    """Whether one value may run from ``start`` to ``end`` across the divisions of ``node``."""
    starts, ends = start in node.edges, end in node.edges
    if is_rest:
        return (start, end) == (node.edges[0], node.edges[-1])
    if node.kind == "groups":
        return starts and ends
    if starts or (ends and node.kind == "half"):
        return True
    return _syncopated(start, end, node)


def _syncopated(start: Quarters, end: Quarters, node: _Node) -> bool:
    """Whether the stretch runs from the middle of one division to the middle of the next."""
    middles = [(low + high) / 2 for low, high in pairwise(node.edges)]
    return (start, end) in pairwise(middles)


def _odd_part(number: int) -> int:
    return number // (number & -number)


def _on_grid(start: Quarters, end: Quarters, node: _Node, odd: int) -> bool:
    """Whether both ends are multiples of one ``odd``-th of the node."""
    step = node.length / odd
    return (start - node.edges[0]) % step == 0 and (end - node.edges[0]) % step == 0


def _in_tuplet(duration: Quarters, node: _Node, odd: int) -> list[Value]:
    """The values for ``duration`` in a tuplet of ``odd`` for the node: 3 for 2, 5 for 4, 7 for 4."""
    normal = _odd_part(node.length.numerator)
    while normal * 2 <= odd:
        normal *= 2
    ratio = Fraction(odd, normal)
    tuplet = Tuplet(ratio.numerator, ratio.denominator)
    values, left = [], duration
    for length in _longest_first():
        if length / ratio <= left:
            values.append(Value(length / ratio, *_written()[length], tuplet))
            left -= length / ratio
    return values + ([_odd_value(left)] if left else [])


def _odd_value(duration: Quarters) -> Value:
    """One value for any duration: the next longer type, in a tuplet that makes it exact."""
    name, length = next(
        ((n, v) for n, v in reversed(TYPES.items()) if v >= duration), ("maxima", Fraction(32))
    )
    ratio = length / duration
    tuplet = None if ratio == 1 else Tuplet(ratio.numerator, ratio.denominator)
    return Value(duration, name, 0, tuplet)
