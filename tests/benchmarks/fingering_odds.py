"""The states and moves of the search as odds of what people printed, so that weights can be fitted to it.

A path is as likely as exp(-its cost), over all paths: a conditional random field (Lafferty, McCallum and
Pereira, ICML 2001) on the layers and edges of the engine. What is not printed is summed over. How often each
price is paid is read off the engine itself, by prices that are powers of a base.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from tabtools.fingering.edges import Changes, Edge, FingerCosts, Move
from tabtools.fingering.moments import Layers, Sounded, moments
from tabtools.fingering.neck import Neck
from tabtools.fingering.states import Layer, Want
from tabtools.fingering.weights import NEUTRAL, UNIT, Weights
from tests.benchmarks.fingering import Piece, Row

Array = NDArray[Any]
Prices = dict[str, float]

STATE = ("grip", "off_window", "off_window_chord", "little", "height", "body", "open_string")
BARRES = ("half_barre", "barre")
FINGERS = FingerCosts._fields
SHIFT = ("stick", "shift")
NAMES = (*STATE, *BARRES, *FINGERS, "across", *SHIFT)


def weights(prices: Prices, base: Weights = NEUTRAL) -> Weights:
    """Prices as weights of the search, in the same units."""
    changed: dict[str, Any] = dict(prices)
    return base._replace(**changed)


_NOTHING = weights(dict.fromkeys((*NAMES, "edge"), 0.0))
_BASE = 32  # no price is paid so often in one move
_COUNTED = FINGERS + BARRES
_PRICES = FingerCosts(*(_BASE**power for power in range(len(FINGERS))))
_BARRED = weights({name: _BASE ** (len(FINGERS) + n) / UNIT for n, name in enumerate(BARRES)}, _NOTHING)
_NEVER = 1e4  # the cost of a move that is not allowed
_MISPRINT = 8.0  # the cost of not doing what is printed: some of it is wrong
_POSITIONS = 32


class Nodes:
    """A layer: how often each state pays the prices of states, ``counts``, and its first barres."""

    def __init__(self, neck: Neck, wants: tuple[Want, ...], struck: int) -> None:
        self.layer = Layer(neck, _BARRED, wants, struck)
        bare = np.array(self.layer.costs)
        priced = (Layer(neck, weights({name: 1.0}, _NOTHING), wants, struck) for name in STATE)
        self.counts = np.array([(np.array(one.costs) - bare) / UNIT for one in priced])
        self.broken = np.minimum(bare / UNIT, 50.0)
        self.middles = np.array(
            Layer(neck, _NOTHING._replace(across=1.0), wants, struck).middles, dtype=float
        )
        news = [sum(press.new for press in presses.values()) for presses in self.layer.presses]
        self.first = np.array([_digits(new)[len(FINGERS) :] for new in news]).T
        self.stand = np.array(self.layer.positions) + _POSITIONS * np.array(self.layer.idle)

    def wanted(self, rows: Sequence[Row], *, fingers: bool) -> Array:
        """Which states have the strings, and with ``fingers`` the fingers, that are printed."""
        return np.array(
            [
                all(_is(held, row, fingers) for held, row in zip(shape, rows, strict=False))
                for shape in self.layer.shapes
            ]
        )


def _is(held: Any, row: Row, fingers: bool) -> bool:
    place = row.place is None or held[:2] == row.place
    return place and (not fingers or row.finger is None or held.finger == row.finger)


def _digits(number: int) -> list[int]:
    return [number // _BASE**power % _BASE for power in range(len(_COUNTED))]


class Arcs:
    """An edge: ``counts`` are by kinds, the states' pairs point to them in ``cells``."""

    def __init__(self, before: Nodes, after: Nodes, move: Move) -> None:
        self.shape = len(before.stand), len(after.stand)
        edge = Edge(before.layer, after.layer, move, Changes(before.layer, after.layer, move, _PRICES))
        kinds = np.array(before.layer.kinds), np.array(after.layer.kinds)
        wide = int(kinds[1].max()) + 1
        moved = before.stand[:, None] % _POSITIONS != after.stand[None, :] % _POSITIONS
        named = (kinds[0][:, None] * wide + kinds[1][None, :]) * 2 + moved
        allowed = np.zeros(self.shape, bool)
        for _, sources, targets in edge.ways:
            allowed[np.ix_(list(sources), targets)] = True
        cells, firsts, inverse = np.unique(
            np.where(allowed, named, -1), return_index=True, return_inverse=True
        )
        pairs = [divmod(int(first), self.shape[1]) for first in firsts]
        found = [
            _digits(edge.cost(i, j)) if cell >= 0 else None for cell, (i, j) in zip(cells, pairs, strict=True)
        ]
        self.counts = np.array([row or [0] * len(_COUNTED) for row in found], dtype=np.uint8).T
        self.never = np.array([row is None for row in found])
        self.cells = inverse.ravel().astype(np.int32)
        self.across = np.abs(before.middles[:, None] - after.middles[None, :]) / UNIT
        self.stands = (before.stand[:, None] * _POSITIONS + after.stand[None, :] % _POSITIONS).ravel()


class Chain(NamedTuple):
    """A piece: its layers and edges, the tables of its shifts, and the states that are as printed."""

    piece: Piece
    nodes: list[Nodes]
    arcs: list[Arcs]
    shifts: list[Array]
    places: list[Array]
    everything: list[Array]
    struck: list[tuple[int, ...]]


class Chains:
    """Makes chains; what comes again is made once."""

    def __init__(self) -> None:
        self._nodes: dict[object, Nodes] = {}
        self._arcs: dict[object, Arcs] = {}

    def chain(self, piece: Piece) -> Chain:
        notes = [Sounded(r.onset, r.end, Want(piece.neck.places(r.midi))) for r in piece.rows]
        found = moments(notes)
        nodes, arcs, shifts = [], [], []
        keys: list[object] = []
        for step, moment in zip(Layers(piece.neck, NEUTRAL).steps(notes, found), found, strict=True):
            wants, struck = step.layer.wants, len(moment.struck)
            keys.append((piece.neck.instrument, wants, struck))
            if keys[-1] not in self._nodes:
                self._nodes[keys[-1]] = Nodes(piece.neck, wants, struck)
            nodes.append(self._nodes[keys[-1]])
            if step.move:
                key = (keys[-2], keys[-1], step.move.fast, step.move.held)
                if key not in self._arcs:
                    self._arcs[key] = Arcs(nodes[-2], nodes[-1], step.move)
                arcs.append(self._arcs[key])
                shifts.append(_shifts(piece.neck, step.move.pace, step.move.rest))
        struck_rows = [[piece.rows[n] for n in moment.struck] for moment in found]
        places = [n.wanted(rows, fingers=False) for n, rows in zip(nodes, struck_rows, strict=True)]
        both = [n.wanted(rows, fingers=True) for n, rows in zip(nodes, struck_rows, strict=True)]
        both = [b if b.any() else p for b, p in zip(both, places, strict=True)]
        return Chain(piece, nodes, arcs, shifts, places, both, [m.struck for m in found])


@lru_cache(maxsize=512)
def _shifts(neck: Neck, pace: int, rest: bool) -> Array:
    """How often `stick` and `shift` are paid, by position and whether nothing is held, and new position."""
    along = np.array(neck.along[:_POSITIONS] + [0.0] * (_POSITIONS - len(neck.along[:_POSITIONS])))
    far = np.abs(along[:, None] - along[None, :]) / 100 * pace / 8
    share = [NEUTRAL.free if rest else 1.0, NEUTRAL.free]
    return np.array(
        [
            np.concatenate([part * table for part in share]).ravel()
            for table in (1.0 - np.eye(_POSITIONS), far)
        ]
    )


def log_odds(chain: Chain, prices: Prices, lam: float) -> tuple[float, Prices]:
    """The log likelihood of what is printed, strings counted ``lam`` times more, and its gradient."""
    moves = [np.exp(-_moves(a, s, prices)) for a, s in zip(chain.arcs, chain.shifts, strict=True)]
    costs = [_costs(nodes, prices, first=not n) for n, nodes in enumerate(chain.nodes)]
    total = 0.0
    states: list[Array] = [np.zeros(len(c)) for c in costs]
    pairs: list[Array] = [np.zeros(m.shape) for m in moves]
    for share, wanted in ((-1 - lam, None), (lam, chain.places), (1.0, chain.everything)):
        if share and (lam or wanted is not chain.places):
            priced = (
                costs
                if wanted is None
                else [c + np.where(w, 0.0, _MISPRINT) for c, w in zip(costs, wanted, strict=True)]
            )
            total += share * _sum(priced, moves, share, states, pairs)
    return total, _gradient(chain, states, pairs)


def _costs(nodes: Nodes, prices: Prices, *, first: bool) -> Array:
    cost: Array = nodes.broken + np.array([prices[name] for name in STATE]) @ nodes.counts
    return cost + np.array([prices[name] for name in BARRES]) @ nodes.first if first else cost


def _moves(arcs: Arcs, shifts: Array, prices: Prices) -> Array:
    kinds = np.array([prices[name] for name in _COUNTED]) @ arcs.counts + _NEVER * arcs.never
    hand = np.array([prices[name] for name in SHIFT]) @ shifts
    found: Array = (kinds[arcs.cells] + hand[arcs.stands]).reshape(arcs.shape) + prices[
        "across"
    ] * arcs.across
    return found


def _sum(
    costs: list[Array], moves: list[Array], share: float, states: list[Array], pairs: list[Array]
) -> float:
    """The log of the sum over all paths; adds ``share`` of the odds of states and pairs to what is there."""
    odds = [np.exp(cost.min() - cost) for cost in costs]
    total = -sum(float(cost.min()) for cost in costs)
    forward: list[Array] = []
    for n, own in enumerate(odds):
        reached = own if not n else (forward[-1] @ moves[n - 1]) * own
        total += float(np.log(reached.sum()))
        forward.append(reached / reached.sum())
    left = np.ones(len(odds[-1]))
    for n in range(len(odds) - 1, -1, -1):
        through = forward[n] * left
        states[n] += share * through / through.sum()
        if n:
            onwards = odds[n] * left
            both = forward[n - 1][:, None] * moves[n - 1] * onwards[None, :]
            pairs[n - 1] += share * both / both.sum()
            left = moves[n - 1] @ onwards
            left /= left.sum()
    return total


def _gradient(chain: Chain, states: list[Array], pairs: list[Array]) -> Prices:
    found = dict.fromkeys(NAMES, 0.0)

    def less(names: Sequence[str], values: Array) -> None:
        for name, value in zip(names, values, strict=True):
            found[name] -= float(value)

    for nodes, share in zip(chain.nodes, states, strict=True):
        less(STATE, nodes.counts @ share)
    less(BARRES, chain.nodes[0].first @ states[0])
    for arcs, shifts, both in zip(chain.arcs, chain.shifts, pairs, strict=True):
        flat = both.ravel()
        less(_COUNTED, arcs.counts @ np.bincount(arcs.cells, flat, len(arcs.never)))
        less(SHIFT, shifts @ np.bincount(arcs.stands, flat, shifts.shape[1]))
        less(("across",), np.array([np.vdot(arcs.across, both)]))
    return found
