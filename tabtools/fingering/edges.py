"""What joins two moments: which state may follow which, and what the fingers have to do."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Iterator, Sequence
from functools import cached_property

from tabtools.fingering.neck import Held, Place
from tabtools.fingering.states import Layer, Pressed, Presses, Shape
from tabtools.fingering.weights import VIOLATION
from tabtools.record import NamedTuple


class Join(NamedTuple):
    """Two notes joined by a technique: places in the lists of notes of the two moments."""

    before: int
    after: int
    kind: str


class Move(NamedTuple):
    """How two moments follow each other.

    ``pace`` is what time makes of a shift's cost, in eighths; ``rest`` is true where nothing sounds before
    the second. ``held`` pairs a note of the first with the same note of the second.
    """

    pace: int
    fast: bool
    rest: bool = False
    held: tuple[tuple[int, int], ...] = ()
    joins: tuple[Join, ...] = ()


class FingerCosts(NamedTuple):
    """Prices of the table of weights, in thousandths."""

    leave: int
    slip: int
    guide: int
    hop: int
    roll: int
    refinger: int
    release: int
    broken: int
    blur: int


_Kept = tuple[tuple[int, Held], ...]


class Arrival(NamedTuple):
    """States after that stand in one position and may follow the same states before, in rising order."""

    position: int
    sources: Sequence[int]
    targets: list[int]


class Changes:
    """What it costs to go from the shapes of one layer to those of the next, but for the shift.

    It is the same wherever on the neck the two are: see `alike`. ``known`` is what `cost` has been asked
    before: by whether the position stays, the kind before and the kind after.
    """

    def __init__(self, before: Layer, after: Layer, move: Move, costs: FingerCosts) -> None:
        self._before = before
        self._after = after
        self._move = move
        self._costs = costs
        self.known: tuple[list[dict[int, int]], ...] = tuple([{} for _ in before.firsts] for _ in range(2))
        self._apart: dict[int, list[int]] = {}
        self._leaps, self._steps = _intervals(before, after, costs)

    def cost(self, old: int, new: int, *, same: bool) -> int:
        """From one kind to another; never less than 0. ``same`` is whether the position stays."""
        row = self.known[same][old]
        found = row.get(new)
        if found is None:
            found = row[new] = self._cost(self._before.firsts[old], self._after.firsts[new], same)
        return found

    def apart(self, new: int) -> list[int]:
        """What leads to a kind from each kind before, where the position changes."""
        found = self._apart.get(new)
        if found is None:
            j = self._after.firsts[new]
            found = self._apart[new] = [self._cost(i, j, same=False) for i in self._before.firsts]
        return found

    def _cost(self, i: int, j: int, same: bool) -> int:
        before, after, move = self._before, self._after, self._move
        cost = abs(before.middles[i] - after.middles[j])
        if move.held:
            old, new = before.shapes[i], after.shapes[j]
            cost += self._costs.release * sum(new[b] is None and old[a] is not None for a, b in move.held)
        if self._leaps or self._steps:
            cost += self._ring(before.places[i], after.places[j])
        for join in move.joins:
            if not joined(before.shapes[i][join.before], after.shapes[j][join.after], join.kind, same):
                cost += VIOLATION
        return cost + self._change(before.presses[i], after.presses[j], same)

    def _ring(self, old: tuple[Place, ...], new: tuple[Place, ...]) -> int:
        """What it takes from the sound: a broken chord cut off, an open string ringing into its neighbour."""
        cost = 0
        for a, b in self._leaps:
            if old[a][0] == new[b][0]:
                cost += self._costs.broken
        for a, b in self._steps:
            if old[a][1] == 0 and old[a][0] != new[b][0]:
                cost += self._costs.blur
        return cost

    def _change(self, old: Presses, new: Presses, same: bool) -> int:
        """What the fingers have to do; see the table of weights."""
        costs = self._costs
        cost = 0
        for finger, press in new.items():
            last = old.get(finger)
            if last is None:
                cost += press.new
                for other, was in old.items():
                    if was.fret == press.fret and other != finger and _meet(was, press):
                        cost += costs.refinger
                continue
            if not _meet(last, press):
                cost += costs.leave + press.new
                if self._move.fast:
                    cost += costs.roll if last.fret == press.fret else costs.hop
            elif last.fret != press.fret:
                cost += (costs.slip if same else costs.guide) + press.new
            elif last.low == last.high:
                cost += press.new
        return cost


class Edge:
    """Two layers and what joins them.

    ``ways`` say which states lead to which: states that hold nothing on from before can follow any.
    """

    def __init__(self, before: Layer, after: Layer, move: Move, changes: Changes) -> None:
        self.before = before
        self.after = after
        self.changes = changes
        self._held = move.held
        self.ways = list(self._ways())

    def _ways(self) -> Iterator[Arrival]:
        groups: dict[tuple[_Kept, bool, int], list[int]] = {}
        kept = [self._kept(self.after.shapes[j]) for j in self.after.firsts]
        for j, (kind, position) in enumerate(zip(self.after.kinds, self.after.positions, strict=True)):
            groups.setdefault((*kept[kind], position), []).append(j)
        everything = range(len(self.before.costs))
        tables: dict[tuple[tuple[int, ...], bool], dict[object, list[int]]] = {}
        for (held, pressed, position), targets in groups.items():
            if not held:
                yield Arrival(position, everything, targets)
                continue
            names = tuple(a for a, _ in held)
            if (names, pressed) not in tables:
                tables[names, pressed] = self._grouped(names, pressed)
            key = tuple(h for _, h in held), position if pressed else None
            yield Arrival(position, tables[names, pressed].get(key, ()), targets)

    def _kept(self, shape: Shape) -> tuple[_Kept, bool]:
        """What a shape holds on, by the note's number before; and whether a finger does, which can't move."""
        held = tuple((a, note) for a, b in self._held if (note := shape[b]) is not None)
        return held, any(note.finger for _, note in held)

    def _grouped(self, notes: tuple[int, ...], pressed: bool) -> dict[object, list[int]]:
        """The states before by where they hold some notes, and by position where a finger is kept down."""
        found: dict[object, list[int]] = {}
        places = {shape: tuple(shape[n] for n in notes) for shape in set(self.before.shapes)}
        for i, (shape, position) in enumerate(zip(self.before.shapes, self.before.positions, strict=True)):
            found.setdefault((places[shape], position if pressed else None), []).append(i)
        return found

    @cached_property
    def sources(self) -> dict[int, Sequence[int]]:
        """For each state after, those that may lead to it."""
        return {j: way.sources for way in self.ways for j in way.targets}

    @cached_property
    def onwards(self) -> dict[int, list[int]]:
        """For each state before, those that may follow it, in rising order."""
        found: dict[int, list[int]] = {}
        for j in range(len(self.after.costs)):
            for i in self.sources[j]:
                found.setdefault(i, []).append(j)
        return found

    def cost(self, i: int, j: int) -> int:
        """From state ``i`` before to state ``j`` after; never less than 0."""
        same = self.before.positions[i] == self.after.positions[j]
        return self.changes.cost(self.before.kinds[i], self.after.kinds[j], same=same)


def alike(before: Layer, after: Layer, move: Move, costs: FingerCosts) -> Hashable:
    """What is the same for layers whose changes cost the same: they are of the same forms, as far apart."""
    apart = after.lowest - before.lowest if before.lowest and after.lowest else 0
    sound = _intervals(before, after, costs)
    return before.form, after.form, apart, sound, move.fast, move.held, move.joins


def _meet(one: Pressed, other: Pressed) -> bool:
    """Whether two presses have a string in common."""
    return one.low >= other.high and other.low >= one.high


_BLUR = 3  # semitones, within which an open string blurs the next note


_Pairs = tuple[tuple[int, int], ...]


def _intervals(before: Layer, after: Layer, costs: FingerCosts) -> tuple[_Pairs, _Pairs]:
    """Pairs of notes struck one after the other that are a leap or a step apart; none where it is all one."""
    if not (costs.broken or costs.blur) or min(len(before.pitches), len(after.pitches)) > 1:
        return (), ()
    leaps, steps = [], []
    for a, old in enumerate(before.pitches):
        for b, new in enumerate(after.pitches):
            apart = abs(old - new)
            if apart > 2:
                leaps.append((a, b))
            if 0 < apart <= _BLUR:
                steps.append((a, b))
    return tuple(leaps), tuple(steps)


def joined(old: Held | None, new: Held | None, kind: str, same: bool) -> bool:
    """Whether a technique can join two places; ``same`` is whether the hand stays in its position."""
    if old is None or new is None or old.string != new.string:
        return False
    return _JOINS[kind](old, new, same)


_JOINS: dict[str, Callable[[Held, Held, bool], bool]] = {
    "slide": lambda old, new, same: 0 not in (old.fret, new.fret) and old.finger == new.finger,
    "hammer": lambda old, new, same: (
        new.fret > old.fret and (old.fret == 0 or (same and new.finger > old.finger))
    ),
    "pull": lambda old, new, same: (
        new.fret < old.fret and (new.fret == 0 or (same and new.finger < old.finger))
    ),
}
