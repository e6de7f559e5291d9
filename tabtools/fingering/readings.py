"""Where a part can be played in two positions that are about as good."""

from __future__ import annotations

from itertools import groupby

from tabtools.fingering.plan import Plan, Rival, plan
from tabtools.fingering.weights import AMBIGUOUS
from tabtools.record import NamedTuple
from tabtools.score import Score
from tabtools.timeline import NoteIndex

_FEWEST = 4  # notes in a row; fewer are no matter of position
_APART = 2  # frets; a fret up or down is the same place with other fingers


class TwoPositions(NamedTuple):
    """Notes that two positions suit about as well, with the fingers of both; ``margin`` in small shifts."""

    notes: tuple[NoteIndex, ...]
    positions: tuple[int, int]
    fingers: tuple[tuple[int, ...], tuple[int, ...]]
    margin: float


def plans(score: Score, hand: str) -> tuple[Plan, ...]:
    """The plans of all parts as they are written."""
    return tuple(plan(part, hand=hand) for part in score.parts)


def two_positions(found: Plan) -> list[TwoPositions]:
    """Runs of notes that can be played in one of two positions at nearly the same cost.

    Positions that are a fret apart count as one.
    """
    rivals = found.rivals(_APART, AMBIGUOUS)
    if not any(rivals):
        return []
    numbers = [n for n in range(len(found.taken.places)) if found.number(found.taken.places[n]) is not None]
    flagged = [(number, rivals[found.step(number)]) for number in numbers if found.held(number).finger]
    results = []
    for pair, run in groupby(flagged, key=lambda item: _pair(found, *item)):
        notes = list(run)
        if pair and len(notes) >= _FEWEST:
            margin = min(rival.margin for _, rival in notes if rival)
            results.append(_two(found, [number for number, _ in notes], pair, margin))
    return results


def _pair(found: Plan, number: int, rival: Rival | None) -> tuple[int, int] | None:
    """The position of a note and its rival."""
    return (found.position(number), rival.position) if rival else None


def _two(found: Plan, numbers: list[int], pair: tuple[int, int], margin: float) -> TwoPositions:
    other = found.through_position(numbers[0], pair[1])
    fingers = (
        tuple(found.held(n).finger for n in numbers),
        tuple(found.held(n, other).finger for n in numbers),
    )
    return TwoPositions(tuple(found.taken.places[n] for n in numbers), pair, fingers, margin)
