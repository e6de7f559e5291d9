"""The fretting hand: the ways to hold notes down together, the easiest first.

Which fingers can hold some notes, and all that this costs but for the stretch, is the same wherever on the
neck they are, so that a form is worked out once for all its places.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache
from itertools import combinations, pairwise

from tabtools.fingering.reach import HAND_SIZES, Board, Press, Stretch, board
from tabtools.record import NamedTuple
from tabtools.score import Instrument

Places = tuple[tuple[int, int], ...]

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
_FIRST = 0.4  # finger 1 on fret 2 beside open strings: fret 1 is its own there, as in Em and A7 [practice]
_BARRE_NOT_INDEX = {2: 2.2, 3: 2.5, 4: 2.9}  # strings under another finger; four is ours
_LEAN = (
    0.28  # beside a full barre, high fingers lie better on high strings: by finger and string from the middle
)
_HALF = 4  # strings of a half barre at most


class Grip(NamedTuple):
    """The presses that hold some notes down, by finger, and the stretch of every pair of them.

    ``cost`` is what the grip asks of the hand, in units of about one small shift; ``excess`` by how many mm,
    over all pairs, it is beyond the hard limits.
    """

    presses: tuple[Press, ...]
    stretches: tuple[Stretch, ...] = ()
    cost: float = 0.0
    excess: float = 0.0

    @property
    def worst(self) -> Stretch | None:
        """The pair nearest to its limit, or furthest beyond; None where fewer than two fingers press."""
        return max(self.stretches, key=lambda s: s.effort, default=None)


class _Form(NamedTuple):
    """Presses with frets counted from the lowest, and what they cost but for the stretch."""

    presses: tuple[Press, ...]
    cost: float


def easiest(instrument: Instrument, notes: Iterable[tuple[int, int]], hand: str = "medium") -> Grip | None:
    """The grip with the least stretch for notes held down together, given as string and fret.

    Grips that are not wide count as equal, and the cheapest of them is taken; open strings need no finger.
    A grip beyond the hard limits is returned too, the one with the least excess, so that a caller can say
    how far it is beyond. None where no four fingers hold the notes whatever their reach. ``hand`` is a name
    of HAND_SIZES.
    """
    return min(grips(instrument, notes, hand), key=_by_stretch, default=None)


def grips(instrument: Instrument, notes: Iterable[tuple[int, int]], hand: str = "medium") -> tuple[Grip, ...]:
    """Every grip for notes held down together, the cheapest first, those beyond the hard limits last."""
    return grips_on(board(instrument), tuple(sorted(set(notes))), hand)


@lru_cache(maxsize=2000)
def grips_on(on: Board, held: Places, hand: str) -> tuple[Grip, ...]:
    """The same on a board, for notes in order and each once."""
    lowest = min((fret for _, fret in held if fret), default=1) - 1
    forms = _forms(tuple((string, fret - lowest if fret else 0) for string, fret in held))
    scale = HAND_SIZES[hand]
    away = _FIRST if lowest == 1 and any(fret == 0 for _, fret in held) else 0.0
    return tuple(sorted((_grip(on, form, lowest, scale, away) for form in forms), key=_order))


def _order(grip: Grip) -> tuple[float, float, int, list[int]]:
    """Sorts grips: possible before impossible, then by cost; the rest breaks ties."""
    fingers = [p.finger for p in grip.presses]
    return round(grip.excess, 6), round(grip.cost, 6), len(fingers), fingers


def _by_stretch(grip: Grip) -> tuple[float, float, float]:
    """Sorts grips: possible before impossible, not wide before wide, then by cost."""
    wide = max(0.0, grip.worst.effort - WIDE) if grip.worst else 0.0
    return round(grip.excess, 6), round(wide, 6), round(grip.cost, 6)


def _grip(on: Board, form: _Form, lowest: int, scale: float, away: float) -> Grip:
    """A form with its frets on the neck."""
    presses = tuple(Press(p.finger, p.fret + lowest, p.strings) for p in form.presses)
    stretches = tuple(on.stretch(low, high, scale) for low, high in combinations(presses, 2))
    strain = sum(_STRAIN * s.effort**2 for s in stretches if s.effort > 0)
    excess = sum(max(0.0, s.distance - s.reach.hard) for s in stretches)
    index = away if presses and presses[0].finger == 1 else 0.0
    return Grip(presses, stretches, form.cost + strain + index, excess)


@lru_cache(maxsize=4096)
def _forms(held: Places) -> tuple[_Form, ...]:
    """Every way to hold places whose lowest fret is 1; open strings have fret 0."""
    return tuple(_Form(presses, _cost(presses)) for presses in _assignments(held))


def _cost(presses: tuple[Press, ...]) -> float:
    fingers = sum(_FINGER[p.finger] + _barre_cost(p) for p in presses)
    return fingers + _order_cost(presses) + _off_window(presses) + _lean(presses)


def _off_window(presses: tuple[Press, ...]) -> float:
    """Fingers away from their own fret, one finger a fret, in the position that suits them best."""
    own = [p.fret - p.finger for p in presses]
    return min((sum(_off(o - position) for o in own) for position in own), default=0.0)


def _order_cost(presses: tuple[Press, ...]) -> float:
    """Neighbouring fingers that are further apart than their numbers, or leave one out on their fret."""
    cost = 0.0
    for low, high in pairwise(presses):
        frets, fingers = high.fret - low.fret, high.finger - low.finger
        cost += _SPREAD * max(0, frets - fingers) + (_SKIP * (fingers - 1) if frets == 0 else 0.0)
    return cost


def _lean(presses: tuple[Press, ...]) -> float:
    if not any(p.covers > _HALF for p in presses):
        return 0.0
    middle = 3.5
    return _LEAN * sum((p.finger - 2.5) * (p.strings[0] - middle) for p in presses if len(p.strings) == 1)


def _assignments(held: Places) -> Iterator[tuple[Press, ...]]:
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


def _can_hold(press: Press, held: Places) -> bool:
    """Whether a finger can hold its strings: a barre must not stop a string that sounds open or lower."""
    if press.finger > 1 and press.covers > SMALL_BARRE:
        return False
    last, first = press.strings[0], press.strings[-1]
    return len(press.strings) == 1 or all(
        fret >= press.fret for string, fret in held if first <= string <= last
    )


def _off(frets: int) -> float:
    return _OUTWARD * frets if frets > 0 else -_INWARD * frets


def _barre_cost(press: Press) -> float:
    if len(press.strings) == 1:
        return 0.0
    covered = _COVERED * (press.covers - len(press.strings))
    if press.finger > 1:
        return covered + _BARRE_NOT_INDEX[press.covers]
    return covered + (_BARRE if press.covers <= _HALF else 0.0)
