"""The best way to read a bar's columns as places in time, by exact dynamic programming.

A state is the place of an onset. Weights multiply; the largest product is the best reading, and the sum of
all is what its share is measured against.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

from tabtools.record import NamedTuple
from tabtools.text.rhythm.columns import Ruler, Setting
from tabtools.text.rhythm.metre import Moves

Weighed = tuple[tuple[int, float], ...]


class Aligned(NamedTuple):
    """The best reading as indices of places, its share of all readings, and the cost of all of them in nats
    (minus the logarithm of the sum of their weights)."""

    places: tuple[int, ...]
    share: float
    cost: float


class Lattice(NamedTuple):
    """What the onsets of a bar may be: for each the places with their weights (those of the first count that
    the bar begins there), the weights of going from each onset to the next by ``to << 8 | from``, that of
    ending at a place, and the cost in nats of what all readings have in common."""

    options: Sequence[Weighed]
    moves: Sequence[Mapping[int, float]]
    last: Callable[[int], float]
    cost: float


def lattice(columns: Sequence[int], ruler: Ruler, setting: Setting, moves: Moves) -> Lattice:
    """Columns that count from where the music begins, on a ruler."""
    cost = 0.0
    options = []
    for column in columns:
        weighed, least = ruler.weights(column, setting)
        options.append(weighed)
        cost += least
    options[0] = tuple((index, weight * moves.first(index, ruler.start)) for index, weight in options[0])
    end = ruler.start + ruler.length
    return Lattice(options, [moves] * (len(columns) - 1), lambda index: moves.last(index, end), cost)


def align(found: Lattice) -> Aligned | None:
    """The best reading; None where the onsets fit no reading at all."""
    if not all(found.options):
        return None
    layers: list[list[State]] = [[(index, weight, weight, 0) for index, weight in found.options[0]]]
    for options, moves in zip(found.options[1:], found.moves, strict=True):
        layers.append(_next(layers[-1], options, moves))
        if not layers[-1]:
            return None
    best, total, at = 0.0, 0.0, 0
    for number, (index, likeliest, every, _) in enumerate(layers[-1]):
        last = found.last(index)
        total += every * last
        if likeliest * last > best:
            best, at = likeliest * last, number
    if not total:
        return None
    return Aligned(_walk(layers, at), best / total, found.cost - math.log(total))


# A state: the place, the weight of the best reading that ends there, that of all, the state before.
State = tuple[int, float, float, int]


def _next(states: list[State], options: Weighed, moves: Mapping[int, float]) -> list[State]:
    """The states of the next onset. Weights far below the best are let go."""
    found: list[State] = []
    for index, weight in options:
        best, total, back = 0.0, 0.0, -1
        key = index << 8
        for number, (before, likeliest, every, _) in enumerate(states):
            if before >= index:
                break
            move = moves[key | before]
            total += every * move
            if likeliest * move > best:
                best, back = likeliest * move, number
        if back >= 0:
            found.append((index, best * weight, total * weight, back))
    return found


def _walk(layers: Sequence[Sequence[State]], at: int) -> tuple[int, ...]:
    """The places of the best reading that ends in state ``at`` of the last layer."""
    indices = []
    for layer in reversed(layers):
        indices.append(layer[at][0])
        at = layer[at][3]
    return tuple(reversed(indices))


# A reading with its weight.
Path = tuple[float, tuple[int, ...]]


def several(found: Lattice, most: int = 6) -> list[Path]:
    """The likeliest readings, at most so many, each with its share of all readings, best first."""
    whole = align(found)
    if whole is None:
        return []
    states: list[list[Path]] = [[(weight, (index,))] for index, weight in found.options[0]]
    for options, moves in zip(found.options[1:], found.moves, strict=True):
        grown: list[list[Path]] = []
        for index, weight in options:
            paths: list[Path] = [
                (before * move * weight, (*path, index))
                for ending in states
                for before, path in ending
                if path[-1] < index and (move := moves[index << 8 | path[-1]])
            ]
            paths.sort(key=lambda item: (-item[0], item[1]))
            if paths:
                grown.append(paths[:most])
        states = grown
    ended = [(weight * found.last(path[-1]), path) for ending in states for weight, path in ending]
    ended.sort(key=lambda item: (-item[0], item[1]))
    scale = whole.share / ended[0][0]
    return [(weight * scale, path) for weight, path in ended[:most]]
