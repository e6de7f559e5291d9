"""What the fingers have to do from one moment to the next, price by price (common practice, no source)."""

from __future__ import annotations

from itertools import product

import pytest

from tabtools.fingering.edges import Changes, Edge, FingerCosts, Join, Move, alike, joined
from tabtools.fingering.neck import Held, neck
from tabtools.fingering.states import Layer, Want
from tabtools.fingering.weights import NEUTRAL, VIOLATION
from tabtools.instrument import GUITAR

NECK = neck(GUITAR, "medium")
FREE = FingerCosts(**dict.fromkeys(FingerCosts._fields, 0))
NO_BARRES = NEUTRAL._replace(across=0.0, barre=0.0, half_barre=0.0)

Notes = tuple[tuple[int, int, int], ...]  # string, fret, finger; 0 for open strings


def _layer(notes: Notes, weights: object = NO_BARRES) -> Layer:
    wants = tuple(Want(((string, fret),), finger or None) for string, fret, finger in notes)
    return Layer(NECK, weights, wants, len(wants))  # type: ignore[arg-type]


def _edge(before: Layer, after: Layer, move: Move, costs: FingerCosts) -> Edge:
    return Edge(before, after, move, Changes(before, after, move, costs))


def _cost(before: Notes, after: Notes, price: str, *, fast: bool = True, stays: bool = True) -> int:
    """How often a price is paid, from fingers to fingers, where the position stays or changes."""
    old, new = _layer(before), _layer(after)
    edge = _edge(old, new, Move(8, fast), FREE._replace(**{price: 1}))
    costs = {
        edge.cost(i, j)
        for i, j in product(range(len(old.costs)), range(len(new.costs)))
        if (old.positions[i] == new.positions[j]) is stays
    }
    (cost,) = costs
    return cost


FRET_3_AND_5 = ((3, 5, 1),), ((2, 5, 1),)
HOP = ((3, 5, 1),), ((2, 6, 1),)
SAME_STRING = ((3, 5, 2),), ((3, 6, 2),)
BARRE = ((2, 5, 1), (3, 5, 1), (4, 5, 1))


@pytest.mark.parametrize(
    ("before", "after", "price", "fast", "times"),
    [
        # A finger that goes to another string at its fret can roll there; to another fret it must hop.
        (*FRET_3_AND_5, "roll", True, 1),
        (*FRET_3_AND_5, "hop", True, 0),
        (*HOP, "hop", True, 1),
        (*HOP, "roll", True, 0),
        # With time enough it is neither, but it has left its place all the same.
        (*FRET_3_AND_5, "roll", False, 0),
        (*HOP, "hop", False, 0),
        (*FRET_3_AND_5, "leave", False, 1),
        (*HOP, "leave", False, 1),
        # Along its own string it neither leaves nor hops, it slips.
        (*SAME_STRING, "leave", True, 0),
        (*SAME_STRING, "hop", True, 0),
        (*SAME_STRING, "slip", True, 1),
        # A barre has all its strings under it: one of them again is no change, one outside is a roll.
        (BARRE, ((3, 5, 1),), "leave", True, 0),
        (BARRE, ((3, 5, 1),), "roll", True, 0),
        (BARRE, ((1, 5, 1),), "roll", True, 1),
        # What another finger held, alone or as a barre, is taken over; an open string by none.
        (((3, 5, 1),), ((3, 5, 2),), "refinger", True, 1),
        (BARRE, ((3, 5, 2),), "refinger", True, 1),
        (BARRE, ((1, 5, 2),), "refinger", True, 0),
        (((3, 5, 3),), ((3, 5, 3),), "refinger", True, 0),
        (((3, 0, 0),), ((3, 5, 1),), "refinger", True, 0),
        (((3, 0, 0),), ((3, 5, 1),), "leave", True, 0),
    ],
)
def test_each_price_is_paid_where_it_applies(
    before: Notes, after: Notes, price: str, fast: bool, times: int
) -> None:
    assert _cost(before, after, price, fast=fast) == times


def test_in_a_shift_a_finger_on_its_string_guides() -> None:
    before, after = ((3, 5, 2),), ((3, 9, 2),)
    assert _cost(before, after, "guide", stays=False) == 1
    assert _cost(before, after, "slip", stays=False) == 0


def test_a_barre_is_paid_when_it_is_set_and_not_when_it_stays() -> None:
    weights = NEUTRAL._replace(across=0.0, barre=0.0, half_barre=1.0)
    one, barre = _layer(((3, 5, 1),), weights), _layer(BARRE, weights)
    for before, after, price in ((one, barre, 1000), (barre, barre, 0), (barre, one, 0)):
        edge = _edge(before, after, Move(8, fast=False), FREE)
        same = [
            edge.cost(i, j)
            for i, j in product(range(len(before.costs)), range(len(after.costs)))
            if before.positions[i] == after.positions[j]
        ]
        assert set(same) == {price}


def test_a_held_note_stays_under_its_finger_or_is_let_go() -> None:
    """The states that may follow each other, against the definition."""
    wants = (Want(((3, 5), (4, 10))), Want(((5, 5), (6, 10))))
    before = Layer(NECK, NEUTRAL, wants, 2)
    after = Layer(NECK, NEUTRAL, (Want(((1, 5), (2, 10))), wants[1]), 1)
    edge = _edge(before, after, Move(8, fast=False, held=((1, 1),)), FREE)
    kept = 0
    for i, j in product(range(len(before.costs)), range(len(after.costs))):
        old, new = before.shapes[i][1], after.shapes[j][1]
        legal = new is None or (old == new and before.positions[i] == after.positions[j])
        kept += new is not None and legal
        assert (i in edge.sources[j]) is legal
        assert (j in edge.onwards.get(i, ())) is legal
    assert kept > 0


@pytest.mark.parametrize(
    ("kind", "old", "new", "same", "can"),
    [
        ("hammer", (3, 5, 1), (3, 7, 3), True, True),
        ("hammer", (3, 5, 1), (3, 7, 3), False, False),
        ("hammer", (3, 0, 0), (3, 7, 3), False, True),
        ("hammer", (3, 5, 1), (2, 7, 3), True, False),
        ("pull", (3, 7, 3), (3, 5, 1), True, True),
        ("pull", (3, 7, 3), (3, 0, 0), False, True),
        ("pull", (3, 5, 1), (3, 7, 3), True, False),
        ("slide", (3, 5, 1), (3, 7, 1), False, True),
        ("slide", (3, 5, 1), (3, 7, 3), True, False),
        ("slide", (3, 0, 0), (3, 7, 0), True, False),
    ],
)
def test_techniques_join_notes_on_one_string(
    kind: str, old: tuple[int, int, int], new: tuple[int, int, int], same: bool, can: bool
) -> None:
    assert joined(Held(*old), Held(*new), kind, same) is can
    before, after = _layer((old,)), _layer((new,))
    edge = _edge(before, after, Move(8, fast=False, joins=(Join(0, 0, kind),)), FREE)
    breaks = {
        edge.cost(i, j) >= VIOLATION
        for i, j in product(range(len(before.costs)), range(len(after.costs)))
        if (before.positions[i] == after.positions[j]) is same
    }
    assert breaks == {not can}


@pytest.mark.parametrize("frets", [1, 4])
@pytest.mark.parametrize(
    ("before", "after"),
    [
        (((3, 5, 0),), ((2, 7, 0),)),
        (((3, 5, 0),), ((2, 0, 0),)),
        (((5, 7, 3), (4, 5, 1)), ((3, 6, 2), (5, 7, 3))),
    ],
)
def test_changes_cost_the_same_further_up_the_neck(before: Notes, after: Notes, frets: int) -> None:
    """Where what is known of one pair of layers is taken for another, it holds for that too."""
    costs = FingerCosts(*range(1, 10))._replace(broken=0, blur=0)
    move = Move(8, fast=True)
    old, new = _layer(before), _layer(after)
    far, on = (_layer(tuple((s, f and f + frets, g) for s, f, g in notes)) for notes in (before, after))
    assert alike(old, new, move, costs) == alike(far, on, move, costs)
    here, there = Changes(old, new, move, costs), Changes(far, on, move, costs)
    kinds = product(range(len(old.firsts)), range(len(new.firsts)), (False, True))
    assert all(here.cost(a, b, same=same) == there.cost(a, b, same=same) for a, b, same in kinds)


def test_an_open_string_is_not_alike_to_a_fret() -> None:
    """Nor are intervals alike that the sound is judged by, where one note is open and the other moves."""
    move, costs = Move(8, fast=True), FingerCosts(*range(1, 10))
    opens, first, second, far = (
        _layer(((string, fret, 0),)) for string, fret in ((3, 0), (3, 1), (4, 6), (4, 9))
    )
    assert alike(opens, second, move, costs) != alike(first, second, move, costs)
    assert alike(opens, second, move, costs) != alike(opens, far, move, costs)
    free = costs._replace(broken=0, blur=0)
    assert alike(opens, second, move, free) == alike(opens, far, move, free)
