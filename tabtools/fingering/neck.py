"""One neck under one hand: distances in millimetres, worked out once."""

from __future__ import annotations

from functools import lru_cache
from itertools import combinations

from tabtools.fingering.hand import Grip, grips_on
from tabtools.fingering.reach import HAND_SIZES, Press, Stretch, board
from tabtools.record import NamedTuple
from tabtools.score import Instrument

Place = tuple[int, int]  # string and fret from the capo


class Held(NamedTuple):
    """A note in a state: where it is held and by which finger; 0 for open strings."""

    string: int
    fret: int
    finger: int


_LONGEST = 24  # frets; the hand may stand where a short neck has none


class Neck:
    """An instrument's neck and a hand's size. ``frets`` is the last fret, counted from the capo."""

    def __init__(
        self, instrument: Instrument, hand: str, max_fret: int | None = None, no_open: bool = False
    ) -> None:
        self.instrument = instrument
        self.hand = hand
        last = max(0, instrument.frets - instrument.capo)
        self.frets = last if max_fret is None else min(last, max_fret)
        self.no_open = no_open
        self.scale = HAND_SIZES[hand]
        self._board = board(instrument)
        self.along = [0.0] + [self._board.point(1, fret)[0] for fret in range(1, max(last, _LONGEST) + 2)]

    def places(self, midi: int) -> tuple[Place, ...]:
        """Where a sounding MIDI number can be played: string and fret, string 1 first. A neck without open
        strings has one where there is no other place."""
        base = midi - self.instrument.capo
        frets = ((string, base - pitch.midi) for string, pitch in enumerate(self.instrument.tuning, 1))
        found = tuple((string, fret) for string, fret in frets if 0 <= fret <= self.frets)
        pressed = tuple(place for place in found if place[1]) if self.no_open else ()
        return pressed or found

    def sounds(self, place: Place) -> int:
        """The MIDI number of a place."""
        string, fret = place
        return self.instrument.tuning[string - 1].midi + self.instrument.capo + fret

    def widest(self, held: tuple[Held, ...]) -> Stretch | None:
        """The pair of fingers nearest to its limit, or furthest beyond; None for fewer than two fingers."""
        strings: dict[tuple[int, int], list[int]] = {}
        for string, fret, finger in held:
            if finger:
                strings.setdefault((finger, fret), []).append(string)
        presses = [
            Press(finger, fret, tuple(sorted(of, reverse=True)))
            for (finger, fret), of in sorted(strings.items())
        ]
        pairs = (
            self._board.stretch(a, b, self.scale) for a, b in combinations(presses, 2) if a.finger != b.finger
        )
        return max(pairs, key=lambda found: found.effort, default=None)

    def grips(self, held: tuple[Place, ...]) -> tuple[Grip, ...]:
        """Every grip of places that are held together, given in order; the grips sorted."""
        return grips_on(self._board, held, self.hand)


@lru_cache(maxsize=64)
def neck(instrument: Instrument, hand: str, max_fret: int | None = None, no_open: bool = False) -> Neck:
    """The neck, shared by all who ask for the same one."""
    return Neck(instrument, hand, max_fret, no_open)
