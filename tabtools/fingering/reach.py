"""How far the fingers of the fretting hand reach.

Fingers are 1 (index) to 4 (little). Distances are in millimetres between the contact points of
fingertips, so that the length of the strings, the capo and the place on the neck all count.
"""

from __future__ import annotations

import math
from functools import lru_cache

from tabtools.instrument import contact_point
from tabtools.record import NamedTuple
from tabtools.score import Instrument


class Reach(NamedTuple):
    """How far two fingers spread, in mm: without effort (``soft``) and at the very most (``hard``)."""

    soft: float
    hard: float


# For a medium hand. Two sources agree: Parncutt et al., Music Perception 14(4) 1997, read in a transcription,
# give the comfortable and practical spans of pianists' fingers 2 to 5 in semitones of 13.75 mm (the octave
# at 165 mm: Jacobs, Music Perception 18(4) 2001, second-hand); and 2,069 published chord diagrams with
# fingers were measured on a neck of 648 mm. Soft is near the comfortable span and the diagrams' 95th
# percentile, hard at the widest of them. They show four frets only, so for 1-4 hard is just below the
# pianists' practical span: frets 1 to 5 can be held, frets 1 to 6 can't. The choice of the numbers is ours.
REACH = {
    (1, 2): Reach(45, 78),  # comfortable 41, practical 69; diagrams 54, widest 78
    (1, 3): Reach(70, 102),  # comfortable 69, practical 96; diagrams 69, widest 101
    (1, 4): Reach(100, 135),  # comfortable 110, practical 138; diagrams 95, widest 103
    (2, 3): Reach(38, 75),  # comfortable 28, practical 55; diagrams 40, widest 74
    (2, 4): Reach(65, 102),  # comfortable 69, practical 96; diagrams 64, widest 101
    (3, 4): Reach(40, 75),  # comfortable 41, practical 69; diagrams 38, widest 75
}

# What a hand's reach is to a medium hand's (common practice, no source).
HAND_SIZES = {"small": 0.87, "medium": 1.0, "large": 1.12}


class Press(NamedTuple):
    """One finger on one fret, counted from the capo. ``strings`` are those that sound, last string first."""

    finger: int
    fret: int
    strings: tuple[int, ...]

    @property
    def covers(self) -> int:
        """How many strings lie under the finger."""
        return self.strings[0] - self.strings[-1] + 1


class Stretch(NamedTuple):
    """Two fingers spread by ``distance`` mm, and what they can reach."""

    fingers: tuple[int, int]
    distance: float
    reach: Reach

    @property
    def effort(self) -> float:
        """0 or less within the soft limit, 1 at the hard limit, linear in between and beyond."""
        return (self.distance - self.reach.soft) / (self.reach.hard - self.reach.soft)

    @property
    def percent(self) -> int:
        """The distance as a share of the hard limit."""
        return round(100 * self.distance / self.reach.hard)


class Board:
    """The contact points of one instrument, each worked out once."""

    def __init__(self, instrument: Instrument) -> None:
        self.instrument = instrument
        self._points: dict[tuple[int, int], tuple[float, float]] = {}

    def point(self, string: int, fret: int) -> tuple[float, float]:
        """Where a fingertip presses, in mm: along the neck, and across it."""
        found = self._points.get((string, fret))
        if found is None:
            found = self._points[string, fret] = contact_point(self.instrument, string, fret)
        return found

    def stretch(self, low: Press, high: Press, scale: float) -> Stretch:
        """How far two presses are apart, the lower finger first, for a hand ``scale`` times a medium one."""
        fingers = low.finger, high.finger
        return Stretch(fingers, self.distance(low, high), _scaled(scale)[fingers])

    def distance(self, one: Press, other: Press) -> float:
        """The distance in mm between two presses; a barre counts from its nearest point."""
        one_x, one_far = self.point(one.strings[0], one.fret)
        other_x, other_far = self.point(other.strings[0], other.fret)
        one_near = self.point(one.strings[-1], one.fret)[1]
        other_near = self.point(other.strings[-1], other.fret)[1]
        gap = max(0.0, one_near - other_far, other_near - one_far)
        return math.hypot(other_x - one_x, gap)


@lru_cache(maxsize=8)
def _scaled(scale: float) -> dict[tuple[int, int], Reach]:
    return {pair: Reach(reach.soft * scale, reach.hard * scale) for pair, reach in REACH.items()}


@lru_cache(maxsize=64)
def board(instrument: Instrument) -> Board:
    """The board of an instrument, shared by all who ask for it."""
    return Board(instrument)
