"""How a hand plays a part: the fingering of every note, and what every other choice would cost."""

from __future__ import annotations

import math
from collections.abc import Callable, Hashable, Iterable, Mapping, Sequence
from fractions import Fraction
from functools import cached_property
from typing import TYPE_CHECKING

from tabtools.fingering.edges import Move
from tabtools.fingering.hints import NO_HINTS, Hints
from tabtools.fingering.moments import Layers, layers, moments, move
from tabtools.fingering.neck import Held, Neck, neck
from tabtools.fingering.notes import Taken, freed, take
from tabtools.fingering.search import Solution
from tabtools.fingering.weights import PROFILES, STAY, SURE, UNIT, VIOLATION
from tabtools.record import NamedTuple
from tabtools.score import Part
from tabtools.timeline import NoteIndex

if TYPE_CHECKING:
    from tabtools.fingering.ways import Way


class Choice(NamedTuple):
    """What was chosen for a note out of some labels: how much dearer the runner-up is, and how likely it is.

    ``margin`` is in units of about one small shift, infinite where nothing else is possible;
    ``confidence`` is the share of the choice among all labels, each weighed by exp(-cost).
    """

    label: Hashable
    margin: float
    confidence: float
    runner_up: Hashable = None

    @property
    def doubtful(self) -> bool:
        """Whether others may well choose differently."""
        return self.confidence < SURE


class Rival(NamedTuple):
    """A position that others may well choose; ``margin`` is how much dearer it is, in small shifts."""

    position: int
    margin: float


class Plan:
    """The fingering of one part."""

    def __init__(self, part: Part, on: Neck, layers: Layers, taken: Taken) -> None:
        self.part = part
        self.neck = on
        self.taken = taken
        self.moments = moments(taken.sounded)
        self.layers = layers

    @cached_property
    def _step_of(self) -> dict[int, tuple[int, int]]:
        """The moment at which each note is struck, and its place there."""
        return {
            number: (step, place)
            for step, moment in enumerate(self.moments)
            for place, number in enumerate(moment.struck)
        }

    @cached_property
    def _number(self) -> dict[NoteIndex, int]:
        return {at: number for number, at in enumerate(self.taken.places)} | self.taken.tied

    @cached_property
    def solution(self) -> Solution:
        """What the search finds; it begins when somebody asks."""
        return Solution(self.layers.steps(self.taken.sounded, self.moments), self.layers.moves)

    def move(self, step: int) -> Move:
        """How a moment that is not the first follows the one before."""
        return move(self.taken.sounded, self.moments[step - 1], self.moments[step])

    def freed(self, steps: Iterable[int]) -> Plan:
        """The plan in which the notes struck at some steps may go wherever their pitches are found."""
        numbers = [number for step in steps for number in self.moments[step].struck]
        return Plan(self.part, self.neck, self.layers, freed(self.taken, self.part, self.neck, numbers))

    def number(self, at: NoteIndex) -> int | None:
        """The number of the note at a place of the part; None where the hand has nothing to do with it."""
        number = self._number.get(at)
        return number if number in self._step_of else None

    @property
    def broken(self) -> int:
        """How often the easiest way breaks what a hand can do."""
        return self.solution.cost // VIOLATION

    @property
    def doubtful(self) -> tuple[int, int]:
        """How many notes were given a string, and for how many of them another is about as likely."""
        free = [n for n in self._step_of if len(self.taken.sounded[n].want.places) > 1]
        return len(free), sum(self.place_choice(n).doubtful for n in free)

    def ways(self, count: int) -> list[Way]:
        """The easiest way, and others that play some note where none before does.

        Where every note has its written place they differ in some finger instead.
        """
        return [self._way(cost, path) for cost, path in self._paths(count)]

    def way_path(self, number: int) -> tuple[int, ...]:
        """The path of one of the ways, counted from 1; the last one where there are fewer."""
        return self._paths(number)[-1][1]

    def _paths(self, count: int) -> list[tuple[int, tuple[int, ...]]]:
        layers = [step.layer for step in self.solution.steps]
        free = any(len(note.want.places) > 1 for note in self.taken.sounded)

        def label(step: int, state: int) -> Hashable:
            layer = layers[step]
            struck = layer.shapes[state][: layer.struck]
            return tuple(_place(held) for held in struck) if free else struck

        return self.solution.others(label, count)

    def _way(self, cost: int, path: tuple[int, ...]) -> Way:
        from tabtools.fingering.ways import Played, Way  # no check asks for one

        notes, positions, widest = [], [], None
        for step, state in enumerate(path):
            layer = self.solution.steps[step].layer
            shape = layer.shapes[state]
            if not layer.idle[state]:
                positions.append(layer.positions[state])
            stretch = self.neck.widest(tuple(held for held in shape if held))
            if stretch and (widest is None or stretch.effort > widest.effort):
                widest = stretch
            for number, held in zip(self.moments[step].struck, shape, strict=False):
                assert held is not None, "a note that is struck is held somewhere"
                notes.append(Played(*self._beat(self.taken.places[number]), held))
        return Way(cost / UNIT, tuple(notes), tuple(positions), widest)

    def _beat(self, at: NoteIndex) -> tuple[int, Fraction]:
        """The number of a note's bar, and its beat, counted from 1."""
        bar = self.part.bars[at.bar]
        return bar.number, 1 + bar.events[at.event].onset * bar.time.unit / 4

    def through_position(self, number: int, position: int) -> tuple[int, ...]:
        """The easiest path that has a position at a note."""
        step, _ = self._step_of[number]
        positions = self.solution.steps[step].layer.positions
        costs = self.solution.through(step)
        state = min((costs[s], s) for s, found in enumerate(positions) if found == position)[1]
        return self.solution.path_through(step, state)

    def held(self, number: int, path: tuple[int, ...] | None = None) -> Held:
        """String, fret and finger of a note, on the easiest path or another."""
        step, place = self._step_of[number]
        held = self.solution.steps[step].layer.shapes[(path or self.solution.path)[step]][place]
        assert held is not None, "a note that is struck is held somewhere"
        return held

    def step(self, number: int) -> int:
        """The moment that a note is struck at, counted from 0."""
        return self._step_of[number][0]

    def position(self, number: int) -> int:
        """The hand's position at a note: the fret under finger 1."""
        step, _ = self._step_of[number]
        return self.solution.steps[step].layer.positions[self.solution.path[step]]

    def place_choice(self, number: int) -> Choice:
        """The choice of string and fret."""
        step, place = self._step_of[number]
        shapes = self.solution.steps[step].layer.shapes
        return self._choice(step, lambda state: _place(shapes[state][place]))

    def finger_choice(self, number: int) -> Choice:
        """The choice of the finger."""
        step, place = self._step_of[number]
        shapes = self.solution.steps[step].layer.shapes
        return self._choice(step, lambda state: _finger(shapes[state][place]))

    def rivals(self, apart: int, margin: float) -> list[Rival | None]:
        """For each moment, the cheapest position at least ``apart`` frets from that of the easiest way, where
        it costs less than ``margin`` small shifts more."""
        solution = self.solution
        return [
            _rival(step.layer.positions, state, near, apart)
            for step, state, near in zip(
                solution.steps, solution.path, solution.near(round(margin * UNIT)), strict=True
            )
        ]

    def _choice(self, step: int, label: Callable[[int], Hashable]) -> Choice:
        chosen = label(self.solution.path[step])
        best = self.solution.best_by(step, label)
        least = best.pop(chosen)
        others = sorted((cost, repr(name), name) for name, cost in best.items())
        if not others:
            return Choice(chosen, math.inf, 1.0)
        scale = UNIT * self.solution.moves.weights.temperature
        weight = 1.0 + sum(math.exp((least - cost) / scale) for cost, _, _ in others)
        return Choice(chosen, (others[0][0] - least) / UNIT, 1.0 / weight, others[0][2])


def _rival(positions: Sequence[int], chosen: int, near: Mapping[int, int], apart: int) -> Rival | None:
    """The best of some states, given with their costs, that stands apart from the chosen one."""
    others = [
        (cost, str(positions[state]), positions[state])
        for state, cost in near.items()
        if abs(positions[state] - positions[chosen]) >= apart
    ]
    if not others:
        return None
    cost, _, position = min(others)
    return Rival(position, (cost - near[chosen]) / UNIT)


def _place(held: Held | None) -> tuple[int, int] | None:
    return (held.string, held.fret) if held else None


def _finger(held: Held | None) -> int | None:
    return held.finger if held else None


def plan(
    part: Part,
    *,
    hand: str = "medium",
    profile: str = "neutral",
    max_fret: int | None = None,
    position: int | None = None,
    stay: bool = False,
    rework: bool = False,
    no_open: bool = False,
    hints: Hints = NO_HINTS,
) -> Plan:
    """The fingering of a part.

    ``hand`` is a name of HAND_SIZES, ``profile`` one of PROFILES; ``max_fret`` (from the capo) limits where
    notes without a written place may go, and ``no_open`` keeps them off open strings where they are found
    elsewhere; ``position`` is one to prefer; with ``stay`` changes of position are dear; with ``rework``
    written strings, frets and fingers don't count. ``hints`` tell what the page says of positions and forms.
    Never fails: what no hand can do is done with the fewest violations and the least excess.
    """
    on = neck(part.instrument, hand, max_fret, no_open)
    weights = PROFILES[profile]._replace(position=position)
    if stay:
        weights = weights._replace(stick=STAY * weights.stick)
    return Plan(part, on, layers(on, weights), take(part, on, rework=rework, hints=hints))
