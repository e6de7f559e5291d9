"""The search is exact: it finds what trying everything finds."""

from __future__ import annotations

import random
from itertools import product

import pytest

from tabtools.fingering.moments import Layers, Sounded, moments
from tabtools.fingering.neck import neck
from tabtools.fingering.search import Solution
from tabtools.fingering.states import Want
from tabtools.fingering.weights import IMPOSSIBLE, PROFILES
from tabtools.instrument import GUITAR

NECK = neck(GUITAR, "medium")
MOST_PATHS = 4000


def _random_notes(seed: int) -> list[Sounded]:
    """Two to four moments of a note or two on a few frets, some held on, some joined, some marked."""
    chance = random.Random(seed)
    notes: list[Sounded] = []
    onset = 0
    for _ in range(chance.randint(2, 4)):
        start = len(notes)
        for _ in range(chance.choice((1, 1, 2))):
            strings = chance.sample(range(1, 7), chance.choice((1, 2)))
            places = tuple((string, chance.randint(1, 6)) for string in sorted(strings))
            finger = chance.choice((None, None, None, 1, 2, 3, 4))
            end = onset + chance.choice((200_000, 200_000, 600_000))
            notes.append(Sounded(onset, end, Want(places, finger)))
        if start and chance.random() < 0.3:
            join = chance.choice(("hammer", "pull", "slide"))
            notes[start] = notes[start]._replace(joined=start - 1, join=join)
        onset += chance.choice((100_000, 200_000, 500_000))
    return notes


def _solve(notes: list[Sounded], profile: str = "neutral") -> tuple[Solution, Layers]:
    layers = Layers(NECK, PROFILES[profile])
    return Solution(layers.steps(notes, moments(notes)), layers.moves), layers


def _allowed(solution: Solution, step: int, i: int, j: int) -> bool:
    """Whether what is held on stays where it is, by the definition and not by the search's tables."""
    before, after = solution.steps[step - 1].layer, solution.steps[step].layer
    move = solution.steps[step].move
    assert move is not None
    for a, b in move.held:
        old, new = before.shapes[i][a], after.shapes[j][b]
        if new is not None and (old != new or (new.finger and before.positions[i] != after.positions[j])):
            return False
    return True


def _all_costs(solution: Solution, layers: Layers) -> dict[tuple[int, ...], int]:
    found = {}
    for path in product(*(range(len(step.layer.costs)) for step in solution.steps)):
        cost = solution.forward[0][path[0]]
        for step in range(1, len(path)):
            before, after = solution.steps[step - 1].layer, solution.steps[step].layer
            move = solution.steps[step].move
            assert move is not None
            i, j = path[step - 1], path[step]
            if not _allowed(solution, step, i, j):
                cost = IMPOSSIBLE
                break
            cost += after.costs[j] + layers.moves.edge(before, after, move).cost(i, j)
            cost += layers.moves.shifts(before.positions[i], before.idle[i], move)[after.positions[j]]
        if cost < IMPOSSIBLE:
            found[path] = cost
    return found


def _size(solution: Solution) -> int:
    size = 1
    for step in solution.steps:
        size *= len(step.layer.costs)
    return size


@pytest.mark.parametrize("kinds", [0, 40], ids=["by bounds", "small layers by tables"])
@pytest.mark.parametrize("block", range(10))
def test_a_thousand_random_inputs_equal_brute_force(
    block: int, kinds: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tabtools.fingering.links._FEW_KINDS", kinds)
    tried = 0
    seed = block * 100_000
    while tried < 100:
        seed += 1
        solution, layers = _solve(_random_notes(seed), sorted(PROFILES)[seed % 3])
        if _size(solution) > MOST_PATHS:
            continue
        tried += 1
        costs = _all_costs(solution, layers)
        assert solution.cost == min(costs.values())
        assert costs[solution.path] == solution.cost
        for step in range(len(solution.steps)):
            for state, through in enumerate(solution.through(step)):
                every = [cost for path, cost in costs.items() if path[step] == state]
                assert min(every, default=IMPOSSIBLE) == min(through, IMPOSSIBLE)


@pytest.mark.parametrize("kinds", [0, 40], ids=["by bounds", "small layers by tables"])
@pytest.mark.parametrize("margin", [1, 500, 3000])
@pytest.mark.parametrize("seed", range(10))
def test_what_is_nearly_as_good_is_what_the_sums_tell(
    seed: int, margin: int, kinds: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tabtools.fingering.links._FEW_KINDS", kinds)
    solution, _ = _solve(_random_notes(seed))
    limit = solution.cost + margin
    for step, near in enumerate(solution.near(margin)):
        assert near == {state: cost for state, cost in enumerate(solution.through(step)) if cost < limit}


@pytest.mark.parametrize("seed", [3, 8, 15, 21])
def test_the_best_paths_come_in_order_and_each_once(seed: int) -> None:
    solution, layers = _solve(_random_notes(seed))
    if _size(solution) > MOST_PATHS:
        pytest.skip("too many paths to try")
    expected = sorted(_all_costs(solution, layers).values())
    found = [(cost, path) for cost, path in solution.paths() if cost < IMPOSSIBLE]
    assert [cost for cost, _ in found] == expected
    assert len({path for _, path in found}) == len(found)


def test_more_places_never_cost_more() -> None:
    for seed in range(60):
        # Nothing is held on: whether a note is cut off by the next depends on where that may be played.
        # Nor is a finger asked for, which a note that has no place for it would drop.
        notes = [
            note._replace(end=note.onset + 100_000, want=note.want._replace(finger=None))
            for note in _random_notes(seed)
        ]
        free = [
            note._replace(want=note.want._replace(places=NECK.places(GUITAR.midi(*note.want.places[0]))))
            for note in notes
        ]
        fixed = [note._replace(want=note.want._replace(places=note.want.places[:1])) for note in notes]
        assert _solve(free)[0].cost <= _solve(fixed)[0].cost


def test_no_notes_cost_nothing() -> None:
    solution, _ = _solve([])
    assert solution.cost == 0
    assert solution.path == ()
    assert solution.near(1) == []
    assert list(solution.paths()) == []


@pytest.mark.parametrize("seed", range(20))
def test_what_is_remembered_from_other_pieces_changes_nothing(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Not either where so little is remembered that layers and moves are forgotten on the way."""
    monkeypatch.setattr("tabtools.fingering.moments._LAYERS", 3)
    monkeypatch.setattr("tabtools.fingering.moves._EDGES", 2)
    monkeypatch.setattr("tabtools.fingering.search._REMEMBERED", 2)
    shared = Layers(NECK, PROFILES["classical"])
    for piece in (seed, seed + 50, seed):
        notes = _random_notes(piece) * 2
        notes = [n._replace(onset=n.onset + k, end=n.end + k) for k, n in enumerate(notes)]
        notes = [note._replace(joined=None, join="") for note in sorted(notes, key=lambda n: n.onset)]
        found = moments(notes)
        fresh = Layers(NECK, PROFILES["classical"])
        expected = Solution(fresh.steps(notes, found), fresh.moves)
        solution = Solution(shared.steps(notes, found), shared.moves)
        assert (solution.cost, solution.path) == (expected.cost, expected.path)
        assert solution.backward == expected.backward
