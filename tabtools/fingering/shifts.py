"""How fast the hand must move, at least, whatever the fingers do."""

from __future__ import annotations

from collections.abc import Iterator

from tabtools.fingering.moments import Moment
from tabtools.fingering.notes import Taken
from tabtools.fingering.plan import Plan
from tabtools.record import NamedTuple
from tabtools.timeline import NoteIndex

_SECOND = 1_000_000
_BACK, _AHEAD = 4, 1  # the position is at most so many frets below the highest fret, and above the lowest


class Shift(NamedTuple):
    """A move of the hand between two notes: the least distance in mm along the neck, the time in seconds."""

    start: NoteIndex
    to: NoteIndex
    distance: float
    time: float

    @property
    def speed(self) -> float:
        """In mm a second."""
        return self.distance / self.time


def shifts(plan: Plan) -> Iterator[Shift]:
    """Every move that the strings and frets of a part, planned as it is written, force on the hand.

    A note may be played from any position that its fingers reach, so that only the rest of the way counts.
    Notes without string and fret, slides and grace notes ask for nothing.
    """
    on, taken = plan.neck, plan.taken
    before: tuple[Moment, int, int] | None = None
    for moment in plan.moments:
        reach = _positions(moment, taken, on.frets)
        if reach is None:
            continue
        if before is not None:
            distance = max(on.along[reach[0]] - on.along[before[2]], on.along[before[1]] - on.along[reach[1]])
            yield from _shift(before[0], moment, distance, taken)
        before = (moment, *reach)


def _shift(old: Moment, new: Moment, distance: float, taken: Taken) -> Iterator[Shift]:
    start, to = old.struck[0], new.struck[0]
    time = taken.sounded[to].onset - taken.sounded[start].onset
    if distance > 0 and time > 0 and taken.sounded[to].join != "slide":
        yield Shift(taken.places[start], taken.places[to], distance, time / _SECOND)


def _positions(moment: Moment, taken: Taken, last: int) -> tuple[int, int] | None:
    """The lowest and the highest position that a moment can be played from; None where it doesn't matter.

    A fret beyond the ``last`` is a slip and says nothing of the hand.
    """
    wants = [taken.sounded[n].want for n in moment.struck]
    if any(len(want.places) != 1 for want in wants) or taken.sounded[moment.struck[0]].lead:
        return None
    frets = [want.places[0][1] for want in wants if want.press and want.places[0][1]]
    if not frets or max(frets) > last:
        return None
    low, high = max(1, max(frets) - _BACK), min(frets) + _AHEAD
    return min(low, high), max(low, high)
