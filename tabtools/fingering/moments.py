"""Notes with times to the moments that the search walks through: what is struck, what is still held."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from tabtools.fingering.edges import Join, Move
from tabtools.fingering.moves import Moves, forget, is_fast, pace
from tabtools.fingering.neck import Neck
from tabtools.fingering.search import Step
from tabtools.fingering.states import Layer, Want
from tabtools.fingering.weights import Weights
from tabtools.record import NamedTuple

TOGETHER = 35_000  # notes struck within so many microseconds are one moment: a strum is one grip
_REST = 150_000  # silence that lets the hand move freely
_MOST_HELD = 2  # held notes that are followed from one moment to the next
_LAYERS = 1000  # layers that are remembered
_SLOWEST = 10_000_000


class Sounded(NamedTuple):
    """A note to be fingered, from onset to end in microseconds. ``lead`` is true for a grace note.

    ``joined`` is the number of the note that it is joined to, and ``join`` how.
    """

    onset: int
    end: int
    want: Want
    lead: bool = False
    joined: int | None = None
    join: str = ""


class Moment(NamedTuple):
    """Notes by number: those struck now, and those held on from before."""

    struck: tuple[int, ...]
    held: tuple[int, ...]

    @property
    def notes(self) -> tuple[int, ...]:
        """All that sound, in the order of the layer's notes."""
        return self.struck + self.held

    def wants(self, notes: Sequence[Sounded]) -> tuple[Want, ...]:
        """What is asked of them."""
        return tuple([notes[n].want for n in self.notes])


def moments(notes: Sequence[Sounded]) -> list[Moment]:
    """Group notes, given in order of onset. Notes that can be played nowhere are left out."""
    groups: list[list[int]] = []
    for number, note in enumerate(notes):
        if not note.want.places:
            continue
        first = notes[groups[-1][0]] if groups else None
        if first and note.onset - first.onset <= TOGETHER and not first.lead and not note.lead:
            groups[-1].append(number)
        else:
            groups.append([number])
    found: list[Moment] = []
    for group in groups:
        before = found[-1].notes if found else ()
        found.append(Moment(tuple(group), _held(notes, before, group)))
    return found


def _held(notes: Sequence[Sounded], before: tuple[int, ...], group: list[int]) -> tuple[int, ...]:
    """Which of the notes before are still down: those that end later, on no string that is struck now."""
    onset = max([notes[n].onset for n in group])
    down = [n for n in before if notes[n].end > onset + TOGETHER and notes[n].want.press]
    if down:
        struck = [notes[n].want.places for n in group]
        down = [n for n in down if not any(_replaces(places, notes[n].want.places) for places in struck)]
        down.sort(key=lambda n: (-notes[n].end, n))
    return tuple(down[:_MOST_HELD])


def _replaces(new: tuple[tuple[int, int], ...], old: tuple[tuple[int, int], ...]) -> bool:
    """Whether a note can only be played where the old one stops: the same pitch, or its one string."""
    return new == old or (len({s for s, _ in new}) == 1 and {s for s, _ in new} == {s for s, _ in old})


class Layers:
    """Layers and moves for one neck and one set of weights: what comes again is worked out once.

    It may be in another part or piece that it comes again: see `layers`.
    """

    def __init__(self, neck: Neck, weights: Weights) -> None:
        self.neck = neck
        self.weights = weights
        self.moves = Moves(neck, weights)
        self._known: dict[tuple[tuple[Want, ...], int], Layer] = {}

    def steps(self, notes: Sequence[Sounded], found: Sequence[Moment]) -> list[Step]:
        """The steps for the moments of some notes."""
        return [
            Step(
                self._layer(moment.wants(notes), len(moment.struck)),
                move(notes, found[number - 1], moment) if number else None,
            )
            for number, moment in enumerate(found)
        ]

    def _layer(self, wants: tuple[Want, ...], struck: int) -> Layer:
        known = self._known.get((wants, struck))
        if known is None:
            forget(self._known, _LAYERS)
            known = self._known[wants, struck] = Layer(self.neck, self.weights, wants, struck)
        return known


@lru_cache(maxsize=4)
def layers(neck: Neck, weights: Weights) -> Layers:
    """The layers shared by all who ask for the same neck and weights."""
    return Layers(neck, weights)


def move(notes: Sequence[Sounded], before: Moment, after: Moment) -> Move:
    """How one moment follows another."""
    old, new = before.notes, after.notes
    onset = notes[after.struck[0]].onset
    gap = min(onset - notes[before.struck[-1]].onset, _SLOWEST)
    silence = onset - max([notes[n].end for n in old])
    held = tuple([(old.index(n), new.index(n)) for n in after.held])
    joins = tuple(
        [
            Join(old.index(joined), place, join)
            for place, n in enumerate(after.struck)
            if (join := notes[n].join) and (joined := notes[n].joined) in old
        ]
    )
    return Move(pace(gap), is_fast(gap), silence >= _REST, held, joins)
