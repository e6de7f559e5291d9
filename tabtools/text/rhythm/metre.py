"""A bar's places in time and what each costs: the stronger the place, the likelier an onset.

Costs are in nats and set by hand, in the spirit of Longuet-Higgins & Lee, "The rhythmic interpretation of
monophonic music" (Music Perception 1(4), 1984): weight falls with the metrical level, and a note before a
stronger place where nothing sounds is a syncopation. Time is in ticks, 24 to a quarter note.
"""

from __future__ import annotations

import math
from enum import IntEnum
from functools import lru_cache

from tabtools.record import NamedTuple
from tabtools.score import TimeSignature
from tabtools.theory.duration import is_compound

TICKS = 24
# The least straight value; what falls between its places is a third.
THIRTY_SECOND = 3
_PLAIN = frozenset((3, 6, 12, 24, 48, 96))
_DOTTED = frozenset((9, 18, 36, 72))
_TIED = frozenset((15, 21, 30, 42, 54, 60, 66, 78, 84, 90))
_OF_THIRDS = frozenset((4, 8, 16, 32))
_COMPOUND_PLAIN = frozenset((36, 72))
_DOT, _TIE, _ODD_VALUE = 0.2, 1.2, 2.0
_SYNCOPATION = 0.5
# A note of the finest level that lasts beyond the next place: what looks like one is mostly a slip.
_HELD_EIGHTH = 3.0
_THIRDS_BEAT = 0.8
_LONELY_THIRD = 3.5
_SWUNG = 0.3
_SIXTH_STEP = 4
_LATE_START = 0.5
# Rhythm styles of a page: whether it has triplets, or swings.
STRAIGHT, TRIPLETS, SWING = range(3)


class Level(IntEnum):
    """Metrical levels, strongest first; the last two belong to beats that hold thirds."""

    BAR = 0
    HALF_BAR = 1
    BEAT = 2
    HALF = 3
    QUARTER = 4
    EIGHTH = 5
    THIRD = 6
    SIXTH = 7


_COSTS = (0.0, 0.1, 0.2, 0.4, 1.1, 3.7, 0.6, 3.0)
_DEPTHS = (0, 1, 2, 3, 4, 5, 3, 4)


class Place(NamedTuple):
    """A place of the bar where a note may begin: its tick, level, beat, and ``step``, the ticks from one such
    place to the next of its level."""

    tick: int
    level: Level
    beat: int
    step: int

    @property
    def thirds(self) -> bool:
        return self.level >= Level.THIRD


def bar_ticks(time: TimeSignature) -> int:
    """The length of a whole bar in ticks."""
    return 4 * TICKS * time.beats // time.unit


def beat_ticks(time: TimeSignature) -> int:
    """The length of a beat in ticks: dotted in compound metres, the eighth itself in 5/8 and 7/8."""
    unit = 4 * TICKS // time.unit
    return 3 * unit if is_compound(time) else min(unit, TICKS)


@lru_cache(maxsize=128)
def places(time: TimeSignature) -> tuple[Place, ...]:
    """All places of a whole bar in order of time."""
    total, beat = bar_ticks(time), beat_ticks(time)
    found: dict[int, tuple[Level, int]] = {}
    # The stronger level has a place that two levels share.
    for level, step in reversed(_steps(time, beat)):
        found |= dict.fromkeys(range(0, total, step), (level, step))
    found |= dict.fromkeys(range(0, total, beat), (Level.BEAT, beat))
    if total // beat % 2 == 0:
        found[total // 2] = (Level.HALF_BAR, total // 2)
    found[0] = (Level.BAR, total)
    return tuple(Place(tick, level, tick // beat, step) for tick, (level, step) in sorted(found.items()))


def _steps(time: TimeSignature, beat: int) -> list[tuple[Level, int]]:
    """The levels below the beat with their steps in ticks, likeliest first."""
    if is_compound(time):
        part = beat // 3
        steps = [(Level.HALF, part), (Level.QUARTER, part // 2), (Level.EIGHTH, part // 4)]
        steps += [(Level.THIRD, part // 3)] if part % 9 else []
        return [(level, step) for level, step in steps if step and part % step == 0]
    steps = [(Level.HALF, beat // 2), (Level.THIRD, beat // 3), (Level.QUARTER, beat // 4)]
    steps += [(Level.SIXTH, beat // 6), (Level.EIGHTH, beat // 8)]
    return [(level, step) for level, step in steps if step >= THIRTY_SECOND and beat % step == 0]


def level_cost(level: Level) -> float:
    """What an onset of this level costs on a page that has such onsets."""
    return _COSTS[level]


class Moves(dict[int, float]):
    """The weight (e to the power of minus the cost) of going from one place to the next, by
    ``to << 8 | from``; filled as asked for. ``style`` is the page's."""

    def __init__(self, time: TimeSignature, style: int) -> None:
        super().__init__()
        self.places = places(time)
        self.style = style
        self.ends: dict[tuple[int, int], float] = {}
        self.plain = _PLAIN | _COMPOUND_PLAIN if is_compound(time) else _PLAIN

    def __missing__(self, key: int) -> float:
        before, after = self.places[key & 255], self.places[key >> 8]
        weight = 0.0
        if not (before.beat == after.beat and _mixed(before, after)):
            cost = self._value(before, after) + self._syncopation(before, after.tick)
            weight = math.exp(-cost - self._thirds(before, after))
        self[key] = weight
        return weight

    def first(self, index: int, start: int) -> float:
        """The weight of beginning at a place in a bar that starts at tick ``start``."""
        place = self.places[index]
        cost = _LATE_START if place.tick > start else 0.0
        return math.exp(-cost - self._entering(place))

    def last(self, index: int, end: int) -> float:
        """The weight of ending at a place in a bar that ends at tick ``end``; a beat of which only the middle
        third sounds is odd."""
        found = self.ends.get((index, end))
        if found is None:
            place = self.places[index]
            cost = self._value(place, Place(end, Level.BAR, -1, 1)) + self._syncopation(place, end)
            found = math.exp(-cost - (_LONELY_THIRD if self._middle(place) else 0.0))
            self.ends[index, end] = found
        return found

    def _value(self, before: Place, after: Place) -> float:
        value = after.tick - before.tick
        if value in self.plain or (value in _OF_THIRDS and (before.thirds or after.thirds)):
            return 0.0
        if value in _DOTTED:
            return _DOT
        return _TIE if value in _TIED or value == 40 else _ODD_VALUE

    def _syncopation(self, before: Place, end: int) -> float:
        own = _DEPTHS[before.level]
        crossed = [_DEPTHS[p.level] for p in self.places if before.tick < p.tick < end and not p.thirds]
        held = _HELD_EIGHTH if crossed and before.level is Level.EIGHTH else 0.0
        return held + _SYNCOPATION * max(own - min(crossed, default=own), 0)

    def _thirds(self, before: Place, after: Place) -> float:
        if before.thirds != after.thirds and _half_to_sixth(before, after):
            return _THIRDS_BEAT * after.thirds + level_cost(Level.SIXTH) - level_cost(Level.THIRD)
        together = before.beat == after.beat and before.thirds and after.thirds
        cost = 0.0 if together else self._entering(after)
        return cost if together or not self._middle(before) else cost + _LONELY_THIRD

    def _entering(self, place: Place) -> float:
        """What the first third of a beat costs."""
        if not place.thirds:
            return 0.0
        if place.level is not Level.THIRD or self._middle(place):
            return _THIRDS_BEAT
        return _THIRDS_BEAT + (_SWUNG if self.style == SWING else _LONELY_THIRD)

    def _middle(self, place: Place) -> bool:
        return place.level is Level.THIRD and place.tick - self._beat_start(place) == place.step

    def _beat_start(self, place: Place) -> int:
        return place.tick // (3 * place.step) * 3 * place.step


def _mixed(before: Place, after: Place) -> bool:
    """Whether one of two places of a beat divides it straight and the other in thirds: only the half of a
    beat may begin or end a group of sixths."""
    straight = [p for p in (before, after) if Level.HALF <= p.level <= Level.EIGHTH]
    if len(straight) != 1 or not (before.thirds or after.thirds):
        return False
    return not _half_to_sixth(before, after)


def _half_to_sixth(before: Place, after: Place) -> bool:
    """Whether a step of a sixth leads to the half of a beat or away from it."""
    return after.tick - before.tick == _SIXTH_STEP and Level.HALF in (before.level, after.level)


def values() -> tuple[int, ...]:
    """The ticks that notes last, those of ties and thirds included, shortest first."""
    return tuple(sorted(_PLAIN | _DOTTED | _TIED | _OF_THIRDS))


@lru_cache(maxsize=128)
def moves(time: TimeSignature, style: int) -> Moves:
    """The one table of moves of a metre and a style."""
    return Moves(time, style)
