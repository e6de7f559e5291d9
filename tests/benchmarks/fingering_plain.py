"""Two plain methods for strings and frets, to stand beside the model in the same run.

``lowest`` puts each note where its fret is lowest. ``viterbi`` is an exact search over the notes struck
together: it moves the lowest fretted fret and the middle of the strings as little as it can, with a small
preference for low frets and small spans. Both know pitches, onsets and the tuning alone.
"""

from __future__ import annotations

from itertools import product

from tests.benchmarks.fingering import Piece

_TOGETHER = 35_000  # microseconds
_SPANS = (4, 6, 99)  # frets, the first that leaves a way
_SHIFT, _STRING, _FRET, _SPAN = 1.0, 0.5, 0.15, 0.3

Place = tuple[int, int]
_State = tuple[tuple[Place, ...], int | None, float, float]  # places, lowest fret, middle string, cost
_Chain = tuple[tuple[Place, ...], "_Chain | None"]


def lowest(piece: Piece) -> list[Place]:
    """The place of each note with the lowest fret."""
    return [min(piece.neck.places(row.midi), key=lambda place: place[1]) for row in piece.rows]


def viterbi(piece: Piece) -> list[Place]:
    """The places of the cheapest way through the piece."""
    paths: list[tuple[float, int | None, float, _Chain | None]] = [(0.0, None, 0.0, None)]
    first = True
    for group in _groups(piece):
        following: list[tuple[float, int | None, float, _Chain | None]] = []
        for places, fret, middle, cost in _states(piece, group):
            best: tuple[float, int | None, _Chain | None] | None = None
            for total, before, strings, chain in paths:
                here = before if fret is None else fret
                shift = abs(here - before) if here is not None and before is not None else 0
                price = total + (0.0 if first else _SHIFT * shift + _STRING * abs(middle - strings))
                if best is None or price < best[0]:
                    best = price, here, chain
            assert best is not None
            following.append((best[0] + cost, best[1], middle, (places, best[2])))
        paths, first = following, False
    chain = min(paths, key=lambda path: path[0])[3]
    groups: list[tuple[Place, ...]] = []
    while chain is not None:
        groups.append(chain[0])
        chain = chain[1]
    return [place for places in reversed(groups) for place in places]


def _groups(piece: Piece) -> list[list[int]]:
    found: list[list[int]] = []
    for row in piece.rows:
        if found and row.onset - found[-1][0] <= _TOGETHER:
            found[-1].append(row.midi)
        else:
            found.append([row.onset, row.midi])
    return [midis for _, *midis in found]


def _states(piece: Piece, midis: list[int]) -> list[_State]:
    ways = list(product(*(piece.neck.places(midi) for midi in midis)))
    free = [places for places in ways if len({string for string, _ in places}) == len(places)] or ways[:1]
    for limit in _SPANS:
        states = [state for places in free if (state := _state(places, limit))]
        if states:
            return states
    raise ValueError("no way to play these notes")


def _state(places: tuple[Place, ...], limit: int) -> _State | None:
    frets = [fret for _, fret in places if fret]
    span = max(frets) - min(frets) if frets else 0
    if span > limit:
        return None
    cost = _FRET * (sum(frets) / len(frets) if frets else 0) + _SPAN * max(0, span - 2)
    return places, min(frets, default=None), sum(string for string, _ in places) / len(places), cost
