"""The fretting hand: how far its fingers reach, and the easiest way to hold notes down together.

Fingers are 1 (index) to 4 (little). Distances are in millimetres between the contact points of
fingertips, so that the length of the strings, the capo and the place on the neck all count.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from itertools import combinations, pairwise

from tabtools.instrument import contact_point
from tabtools.score import Instrument


@dataclass(frozen=True, slots=True)
class Reach:
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

# Strings that fingers 2 to 4 can hold together: 197 of 210 diagrams with such a barre have two or three.
SMALL_BARRE = 4

# From halfway between the limits a stretch is wide: 12 of 1,029 published diagrams have a wider one, while
# open C and G chords go just beyond the soft limit. The choice is ours.
WIDE = 0.5

# What a grip asks of the hand, in units of about one small shift. Fitted as the odds with which 1,000
# published chord diagrams have their printed fingers and not others (softmax regression, cross-validated by
# chord quality); the strain beyond the soft limit is ours.
_STRAIN = 0.7  # the square of a stretch's share between soft and hard limit
_INWARD = 0.18  # a fret by which a finger stands nearer to the nut than its own, one finger a fret
_OUTWARD = 0.28  # a fret further from it
_SPREAD = 1.2  # a fret that neighbouring fingers are further apart than their numbers
_SKIP = 0.85  # a finger left out between two on one fret
_FINGER = {1: 0.0, 2: 0.0, 3: 0.38, 4: 0.7}
_BARRE = 0.85  # two to four strings under finger 1; more come out for nothing, where nothing else will do
_COVERED = 0.33  # a string under a barre that doesn't sound by it
_BARRE_NOT_INDEX = {2: 2.2, 3: 2.5, 4: 2.9}  # strings under another finger; four is ours
_LEAN = (
    0.28  # beside a full barre, high fingers lie better on high strings: by finger and string from the middle
)
_HALF = 4  # strings of a half barre at most


@dataclass(frozen=True, slots=True)
class Press:
    """One finger on one fret, counted from the capo. ``strings`` are those that sound, last string first."""

    finger: int
    fret: int
    strings: tuple[int, ...]

    @property
    def covers(self) -> int:
        """How many strings lie under the finger."""
        return self.strings[0] - self.strings[-1] + 1


@dataclass(frozen=True, slots=True)
class Stretch:
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


@dataclass(frozen=True, slots=True)
class Grip:
    """The presses that hold some notes down, by finger, and the stretch of every pair of them."""

    presses: tuple[Press, ...]
    stretches: tuple[Stretch, ...]

    @property
    def worst(self) -> Stretch | None:
        """The pair nearest to its limit, or furthest beyond; None where fewer than two fingers press."""
        return max(self.stretches, key=lambda s: s.effort, default=None)

    @property
    def cost(self) -> float:
        """What the grip asks of the hand, in units of about one small shift."""
        strain = sum(_STRAIN * s.effort**2 for s in self.stretches if s.effort > 0)
        fingers = sum(_FINGER[p.finger] + _barre_cost(p) for p in self.presses)
        return strain + fingers + self._order_cost() + self._off_window() + self._lean()

    @property
    def excess(self) -> float:
        """By how many mm, over all pairs, the grip is beyond the hard limits."""
        return sum(max(0.0, s.distance - s.reach.hard) for s in self.stretches)

    def _off_window(self) -> float:
        """Fingers away from their own fret, one finger a fret, in the position that suits them best."""
        own = [p.fret - p.finger for p in self.presses]
        return min((sum(_off(o - position) for o in own) for position in own), default=0.0)

    def _order_cost(self) -> float:
        """Neighbouring fingers that are further apart than their numbers, or leave one out on their fret."""
        cost = 0.0
        for low, high in pairwise(self.presses):
            frets, fingers = high.fret - low.fret, high.finger - low.finger
            cost += _SPREAD * max(0, frets - fingers) + (_SKIP * (fingers - 1) if frets == 0 else 0.0)
        return cost

    def _lean(self) -> float:
        if not any(p.covers > _HALF for p in self.presses):
            return 0.0
        middle = 3.5
        return _LEAN * sum(
            (p.finger - 2.5) * (p.strings[0] - middle) for p in self.presses if len(p.strings) == 1
        )


def easiest(instrument: Instrument, notes: Iterable[tuple[int, int]], hand: str = "medium") -> Grip | None:
    """The grip with the least stretch for notes held down together, given as string and fret.

    Grips that are not wide count as equal, and the cheapest of them is taken; open strings need no finger.
    A grip beyond the hard limits is returned too, the one with the least excess, so that a caller can say
    how far it is beyond. None where no four fingers hold the notes whatever their reach. ``hand`` is a name
    of HAND_SIZES.
    """
    return min(grips(instrument, notes, hand), key=_by_stretch, default=None)


def grips(instrument: Instrument, notes: Iterable[tuple[int, int]], hand: str = "medium") -> list[Grip]:
    """Every grip for notes held down together, the cheapest first, those beyond the hard limits last."""
    held = sorted(set(notes))
    scale = HAND_SIZES[hand]
    found = (_grip(instrument, presses, scale) for presses in _assignments(held))
    return sorted(found, key=_order)


def _order(grip: Grip) -> tuple[float, float, int, list[int]]:
    """Sorts grips: possible before impossible, then by cost; the rest breaks ties."""
    fingers = [p.finger for p in grip.presses]
    return round(grip.excess, 6), round(grip.cost, 6), len(fingers), fingers


def _by_stretch(grip: Grip) -> tuple[float, float, float]:
    """Sorts grips: possible before impossible, not wide before wide, then by cost."""
    wide = max(0.0, grip.worst.effort - WIDE) if grip.worst else 0.0
    return round(grip.excess, 6), round(wide, 6), round(grip.cost, 6)


def _assignments(held: list[tuple[int, int]]) -> Iterator[tuple[Press, ...]]:
    """Every way to give the notes to fingers that don't cross.

    A higher finger is on a higher fret or, on the same fret, on a higher-sounding string. So with the notes
    in that order each finger takes a run of them; a run of several is a barre.
    """
    fretted = sorted((n for n in held if n[1] > 0), key=lambda n: (n[1], -n[0]))
    for runs in _runs(fretted):
        for fingers in combinations((1, 2, 3, 4), len(runs)):
            presses = tuple(
                Press(finger, run[0][1], tuple(string for string, _ in run))
                for finger, run in zip(fingers, runs, strict=True)
            )
            if all(_can_hold(press, held) for press in presses):
                yield presses


def _runs(notes: list[tuple[int, int]]) -> Iterator[list[list[tuple[int, int]]]]:
    """The ways to cut notes into at most four runs, each on one fret."""
    if not notes:
        yield []
    cuts = range(1, len(notes))
    for number in range(4):
        for inner in combinations(cuts, number):
            ends = (0, *inner, len(notes))
            runs = [notes[a:b] for a, b in pairwise(ends)]
            if all(len({fret for _, fret in run}) == 1 for run in runs):
                yield runs


def _can_hold(press: Press, held: list[tuple[int, int]]) -> bool:
    """Whether a finger can hold its strings: a barre must not stop a string that sounds open or lower."""
    if press.finger > 1 and press.covers > SMALL_BARRE:
        return False
    last, first = press.strings[0], press.strings[-1]
    return len(press.strings) == 1 or all(
        fret >= press.fret for string, fret in held if first <= string <= last
    )


def _grip(instrument: Instrument, presses: tuple[Press, ...], scale: float) -> Grip:
    pairs = combinations(presses, 2)
    return Grip(presses, tuple(stretch(instrument, low, high, scale) for low, high in pairs))


def stretch(instrument: Instrument, low: Press, high: Press, scale: float) -> Stretch:
    """How far two presses are apart, the lower finger first, for a hand ``scale`` times a medium one."""
    reach = REACH[low.finger, high.finger]
    scaled = Reach(reach.soft * scale, reach.hard * scale)
    return Stretch((low.finger, high.finger), distance(instrument, low, high), scaled)


def distance(instrument: Instrument, one: Press, other: Press) -> float:
    """The distance in mm between two presses; a barre counts from its nearest point."""
    one_x, one_low, one_high = _place(instrument, one)
    other_x, other_low, other_high = _place(instrument, other)
    gap = max(0.0, one_low - other_high, other_low - one_high)
    return math.hypot(other_x - one_x, gap)


def _place(instrument: Instrument, press: Press) -> tuple[float, float, float]:
    """Where a press lies, in mm: along the neck, and from where to where across it."""
    x, far = contact_point(instrument, press.strings[0], press.fret)
    _, near = contact_point(instrument, press.strings[-1], press.fret)
    return x, near, far


def _off(frets: int) -> float:
    return _OUTWARD * frets if frets > 0 else -_INWARD * frets


def _barre_cost(press: Press) -> float:
    if len(press.strings) == 1:
        return 0.0
    covered = _COVERED * (press.covers - len(press.strings))
    if press.finger > 1:
        return covered + _BARRE_NOT_INDEX[press.covers]
    return covered + (_BARRE if press.covers <= _HALF else 0.0)
