"""From ticks to quarter notes: each beat gets the division that explains what begins in it best."""

from __future__ import annotations

from bisect import bisect_right
from collections import defaultdict
from collections.abc import Iterable
from fractions import Fraction

from tabtools.record import NamedTuple
from tabtools.score import Quarters

# Divisions of a quarter note and what each costs against the others: the rarer, the dearer. Common practice.
_DIVISIONS = (
    (1, 0.0),
    (2, 1.0),
    (4, 2.0),
    (3, 3.0),
    (8, 4.5),
    (6, 5.0),
    (12, 8.0),
    (16, 8.0),
    (5, 8.0),
    (7, 10.0),
)
_PLAYED = 0.03  # quarter notes by which a player's notes stray
_MACHINE = 0.002  # and those of a file that a program wrote
_EXACT = 0.004  # quarter notes within which a tick lies on its place
_MOSTLY = 0.95
_MERGED = 30.0  # what it costs that two notes which begin apart fall together


class Grid:
    """The division of every quarter note, counted from the beginning."""

    def __init__(self, onsets: Iterable[int], resolution: int) -> None:
        """``onsets`` are ticks, ``resolution`` of them a quarter note."""
        self._resolution = resolution
        by_beat: defaultdict[int, set[float]] = defaultdict(set)
        for onset in onsets:
            beat, share = divmod(onset, resolution)
            by_beat[beat].add(share / resolution)
        strays = [stray for shares in by_beat.values() for share in shares for stray in [_stray(share)]]
        exact = sum(stray <= _EXACT for stray in strays)
        self.is_played = exact < _MOSTLY * len(strays)
        self._sigma = _PLAYED if self.is_played else _MACHINE
        self._division = {beat: self._best(shares) for beat, shares in by_beat.items()}

    def time(self, tick: int) -> Quarters:
        """The time of a tick in quarter notes, on the grid of its beat."""
        beat, share = divmod(tick, self._resolution)
        division = self._division.get(beat)
        if division is None:
            division = _fitting(share / self._resolution)
        return beat + Fraction(round(Fraction(share, self._resolution) * division), division)

    def _best(self, shares: set[float]) -> int:
        return min(_DIVISIONS, key=lambda row: (self._cost(shares, row[0]) + row[1], row[1]))[0]

    def _cost(self, shares: set[float], division: int) -> float:
        """How badly a division fits onsets in a beat, given as shares of it."""
        strays = [abs(share * division - round(share * division)) / division for share in shares]
        places = {round(share * division) for share in shares}
        apart = _apart(shares, self._sigma)
        return sum((stray / self._sigma) ** 2 for stray in strays) + _MERGED * max(0, apart - len(places))


def _apart(shares: set[float], sigma: float) -> int:
    """How many onsets were meant to be different: those further apart than a player strays."""
    count, before = 0, -1.0
    for share in sorted(shares):
        if share - before > sigma:
            count += 1
        before = share
    return count


def _stray(share: float) -> float:
    """How far a place in a beat is from the nearest place of any division."""
    return min(abs(share * division - round(share * division)) / division for division, _ in _DIVISIONS)


def _fitting(share: float) -> int:
    """The plainest division that a single place fits, else that it comes nearest to."""
    for division, _ in _DIVISIONS:
        if abs(share * division - round(share * division)) / division <= _EXACT:
            return division
    return 8


class Metre(NamedTuple):
    """A metre from a time on, in quarter notes: beats of 1/``unit`` notes."""

    start: Quarters
    beats: int
    unit: int

    @property
    def length(self) -> Quarters:
        """The length of a bar in quarter notes."""
        return Fraction(4 * self.beats, self.unit)


class BarLines:
    """Where bars start, by the metres of a file. A metre that changes inside a bar cuts it there."""

    def __init__(self, metres: list[Metre], end: Quarters) -> None:
        self.starts: list[Quarters] = []
        self.metres: list[Metre] = []
        for metre, until in zip(metres, [*(later.start for later in metres[1:]), end], strict=True):
            start = metre.start
            while start < until or not self.starts:
                self.starts.append(start)
                self.metres.append(metre)
                start += metre.length
        self._end = max(end, self.starts[-1] + self.metres[-1].length)

    def bar_of(self, time: Quarters) -> int:
        """The bar, counted from 0, that a time lies in."""
        return max(0, bisect_right(self.starts, time) - 1)

    def end_of(self, bar: int) -> Quarters:
        """Where a bar ends, in quarter notes from the beginning."""
        return self.starts[bar + 1] if bar + 1 < len(self.starts) else self._end
