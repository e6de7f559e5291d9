"""Boxes and runs that are going on during the search, and what closing them costs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from tabtools.forms import boxcost, cost
from tabtools.forms.boxcost import BoxLabel
from tabtools.forms.cost import BITS
from tabtools.forms.cuts import Cut, Ending, RunLabel
from tabtools.forms.evidence import Stroke
from tabtools.record import NamedTuple

_LEAP = 2  # a run goes by steps up to so many semitones
_LINE = 3  # strokes that make a line
_RUN = RunLabel()


class Beginning(NamedTuple):
    """What beginning with a stroke costs: the stroke's number, the cost and the cut before it."""

    at: int
    total: int
    cut: Cut | None


# What is still going on, plain tuples because many are made. A box: cost, bits of the degrees that sounded,
# first stroke, cut before it. A run: cost, first stroke, cut before it.
_Box = tuple[int, int, int, "Cut | None"]
_Run = tuple[int, int, "Cut | None"]


class Boxes:
    """The pentatonic boxes that are going on; of one box an earlier beginning only if it costs more."""

    def __init__(self) -> None:
        self._open: dict[BoxLabel, list[_Box]] = {}
        self._limit = 0

    def step(
        self,
        before: Stroke | None,
        stroke: Stroke,
        begin: Beginning,
        foreign: tuple[int, ...],
        joined: Mapping[int, tuple[int, Cut]],
    ) -> None:
        """Take in one more stroke. ``joined`` tells what it costs to move a scale here from another box."""
        way = boxcost.crossing(before.tones, stroke.tones) if before else 0
        going: dict[BoxLabel, list[_Box]] = {}
        for place, value in boxcost.stroke_row(stroke.tones).items():
            bits, price = value & BITS, value >> 5
            states: list[_Box] = [
                (total + price + way, sounded | bits, start, cut)
                for total, sounded, start, cut in self._open.get(place, ())
                if total + boxcost.MISSING[sounded] <= self._limit
            ]
            if bits:
                tonic = place.tonic % 12
                first, cut = joined.get(tonic, (begin.total, begin.cut))
                first += boxcost.BOX + foreign[tonic] + price
                if not states or first < states[-1][0]:
                    moved = boxcost.MOVED if tonic in joined else 0
                    states.append((first, bits | moved, begin.at, cut))
            if states:
                going[place] = states
        self._open = going

    def cheapest(self) -> list[int]:
        """What closing each box here costs."""
        return [state[0] + boxcost.MISSING[state[1]] for states in self._open.values() for state in states]

    def ways(self, limit: int) -> Iterator[Ending]:
        """The ways to close here in a box that cost no more than a limit."""
        for place, states in self._open.items():
            for total, sounded, start, before in states:
                closed = total + boxcost.MISSING[sounded]
                if closed <= limit:
                    yield Ending(closed, start, place, before)

    def keep(self, closed: int) -> None:
        """Go on only with boxes that cost less than the cheapest cutting here and a new beginning."""
        self._limit = closed + boxcost.EMPTY


class Runs:
    """The runs that are going on, by the number of strokes in their line, 1 up to _LINE; 0 for runs that
    need be no line. A line is of single notes, or of double stops on the same strings under one symbol."""

    def __init__(self) -> None:
        self._open: dict[int, _Run] = {}

    def step(self, before: Stroke | None, stroke: Stroke, begin: Beginning) -> None:
        """Take in one more stroke."""
        notes = len(stroke.tones)
        first, each = cost.RUN_NOTE
        going: dict[int, _Run] = {0: (begin.total + first + each * notes, begin.at, begin.cut)}
        if 0 in self._open:
            going[0] = min(self._longer(0, each * notes), going[0], key=_order)
        if notes in cost.RUN_STEP:
            each = cost.RUN_STEP[notes]
            going[1] = begin.total + cost.RUN_LINE + each, begin.at, begin.cut
            if before is not None and _goes_on(before, stroke):
                for count in sorted(self._open.keys() - {0}):
                    state = self._longer(count, each + _leap(before, stroke))
                    length = min(count + 1, _LINE)
                    going[length] = min(state, going.get(length, state), key=_order)
        self._open = going

    def _longer(self, count: int, price: int) -> _Run:
        total, start, before = self._open[count]
        return total + price, start, before

    def ways(self) -> Iterator[Ending]:
        """The ways to close here in a run."""
        for count in (0, _LINE):
            if count in self._open:
                total, start, before = self._open[count]
                yield Ending(total, start, _RUN, before)


def _goes_on(before: Stroke, stroke: Stroke) -> bool:
    """Whether a stroke may go on with the line of the one before."""
    if len(stroke.tones) == 1 or len(before.tones) != len(stroke.tones):
        return len(before.tones) == len(stroke.tones)
    strings = [[tone.string for tone in one.tones] for one in (before, stroke)]
    return strings[0] == strings[1] and not stroke.turns


def _leap(before: Stroke, stroke: Stroke) -> int:
    return cost.RUN_LEAP if abs(before.tones[0].midi - stroke.tones[0].midi) > _LEAP else 0


def _order(state: _Run) -> tuple[int, int]:
    return state[:2]
