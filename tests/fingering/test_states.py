"""The ways a hand can be at one moment, also where no hand can hold the notes."""

from __future__ import annotations

import random
from itertools import product

import pytest

from tabtools.fingering.neck import Place, neck
from tabtools.fingering.states import Layer, Want
from tabtools.fingering.weights import NEUTRAL, VIOLATION
from tabtools.instrument import GUITAR

NECK = neck(GUITAR, "medium")


def _layer(places: list[tuple[Place, ...]]) -> Layer:
    return Layer(NECK, NEUTRAL, tuple(Want(found) for found in places), len(places))


@pytest.mark.parametrize("seed", range(40))
def test_what_no_hand_holds_breaks_least_of_all_ways(seed: int) -> None:
    chance = random.Random(seed)
    near, far = range(1, 6), range(10, 15)
    places = [
        tuple((string, chance.choice(frets)) for string in chance.sample(range(1, 7), 2))
        for frets in (near, far, chance.choice((near, far)))
    ]
    every = [min(_layer([(place,) for place in way]).costs) for way in product(*places)]
    assert min(every) >= VIOLATION
    assert min(_layer(places).costs) == min(every)


@pytest.mark.parametrize("count", [7, 8, 10, 12])
def test_more_notes_than_strings_take_few_states(count: int) -> None:
    """A chord of a keyboard: every note is put somewhere, and what breaks is counted."""
    layer = _layer([NECK.places(midi) for midi in range(48, 48 + 2 * count, 2)])
    assert 0 < len(layer.costs) <= 64
    assert min(layer.costs) // VIOLATION >= count - 6
    assert all(held is not None for shape in layer.shapes for held in shape)
