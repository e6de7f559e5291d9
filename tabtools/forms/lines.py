"""Boxes and runs that are going on during the search, and what closing them costs."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import NamedTuple

from tabtools.forms import boxcost, cost
from tabtools.forms.boxcost import Place
from tabtools.forms.cost import BITS
from tabtools.forms.cuts import Cut, RunLabel, Way
from tabtools.forms.evidence import Stroke

_LEAP = 2  # a run goes by steps up to so many semitones
_LINE = 3  # strokes that make a line
_RUN = RunLabel()


class Beginning(NamedTuple):
    """What beginning with a stroke costs: the stroke's number, the cost and the cut before it."""

    at: int
    total: int
    cut: Cut | None


class _Open(NamedTuple):
    """A box that is still going on, with the bits of the degrees that sounded; or a run."""

    total: int
    sounded: int
    start: int
    before: Cut | None


class Boxes:
    """The pentatonic boxes that are going on; of one box an earlier beginning only if it costs more."""

    def __init__(self) -> None:
        self._open: dict[Place, list[_Open]] = {}

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
        going: dict[Place, list[_Open]] = {}
        for place, value in boxcost.stroke_row(stroke.tones).items():
            bits, price = value & BITS, value >> 5
            states = [
                _Open(total + price + way, sounded | bits, start, cut)
                for total, sounded, start, cut in self._open.get(place, ())
            ]
            if bits:
                tonic = place.tonic % 12
                first, cut = joined.get(tonic, (begin.total, begin.cut))
                first += boxcost.BOX + foreign[tonic] + price
                if not states or first < states[-1].total:
                    moved = boxcost.MOVED if tonic in joined else 0
                    states.append(_Open(first, bits | moved, begin.at, cut))
            if states:
                going[place] = states
        self._open = going

    def ways(self) -> Iterator[Way]:
        """The ways to close here in a box."""
        for place, states in self._open.items():
            for total, sounded, start, before in states:
                yield Way(total + boxcost.MISSING[sounded], start, place, before)

    def keep(self, closed: int) -> None:
        """Drop the boxes that cost no less than the cheapest cutting and a new beginning."""
        limit = closed + boxcost.EMPTY
        kept = {
            place: [state for state in states if state.total + boxcost.MISSING[state.sounded] <= limit]
            for place, states in self._open.items()
        }
        self._open = {place: states for place, states in kept.items() if states}


class Runs:
    """The runs that are going on, by the number of strokes in their line, 1 up to _LINE; 0 for runs that
    need be no line. A line is of single notes, or of double stops on the same strings under one symbol."""

    def __init__(self) -> None:
        self._open: dict[int, _Open] = {}

    def step(self, before: Stroke | None, stroke: Stroke, begin: Beginning) -> None:
        """Take in one more stroke."""
        notes = len(stroke.tones)
        first, each = cost.RUN_NOTE
        going = {0: _Open(begin.total + first + each * notes, 0, begin.at, begin.cut)}
        if 0 in self._open:
            going[0] = min(self._longer(0, each * notes), going[0], key=_order)
        if notes in cost.RUN_STEP:
            each = cost.RUN_STEP[notes]
            going[1] = _Open(begin.total + cost.RUN_LINE + each, 0, begin.at, begin.cut)
            if before is not None and _goes_on(before, stroke):
                for count in sorted(self._open.keys() - {0}):
                    state = self._longer(count, each + _leap(before, stroke))
                    length = min(count + 1, _LINE)
                    going[length] = min(state, going.get(length, state), key=_order)
        self._open = going

    def _longer(self, count: int, price: int) -> _Open:
        total, _, start, before = self._open[count]
        return _Open(total + price, 0, start, before)

    def ways(self) -> Iterator[Way]:
        """The ways to close here in a run."""
        for count in (0, _LINE):
            if count in self._open:
                total, _, start, before = self._open[count]
                yield Way(total, start, _RUN, before)


def _goes_on(before: Stroke, stroke: Stroke) -> bool:
    """Whether a stroke may go on with the line of the one before."""
    if len(stroke.tones) == 1 or len(before.tones) != len(stroke.tones):
        return len(before.tones) == len(stroke.tones)
    strings = [[tone.string for tone in one.tones] for one in (before, stroke)]
    return strings[0] == strings[1] and not stroke.turns


def _leap(before: Stroke, stroke: Stroke) -> int:
    return cost.RUN_LEAP if abs(before.tones[0].midi - stroke.tones[0].midi) > _LEAP else 0


def _order(state: _Open) -> tuple[int, int]:
    return state.total, state.start
