"""Every way a hand can be at one moment: a place and a finger for each sounding note, and a position.

The position is the fret under finger 1. A finger alone stands on its own fret, one finger a fret, but
fingers 1 and 4 may reach a fret outwards; together each may be a fret off.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache

from tabtools.fingering.hand import Grip
from tabtools.fingering.neck import Held, Neck, Place
from tabtools.fingering.placing import MOST, least_apart, within_reach
from tabtools.fingering.weights import (
    BEND_FINGER,
    BEND_LOW_FRET,
    BEND_STRING,
    BEND_WIDE_INDEX,
    EXCESS,
    UNIT,
    VIOLATION,
    Weights,
)
from tabtools.record import NamedTuple

LAST_POSITION = 19
_WORSE = 1.5  # a hand takes no grip that costs so much more than the easiest one of the same notes
_HALF = 4  # strings of a half barre at most
OPEN_POSITION = 2  # the last position from which open strings are at hand
LOW = 7  # the fret from which on a lead player has room on both sides
BODY = 12  # the fret where the neck of a classical guitar meets the body
_HIGH = 7  # above this fret finger 4 may reach a fret further


class Want(NamedTuple):
    """What is asked of one note: where it may be played, and how.

    ``finger`` is one that must be used, or None. ``press`` is false for notes that the fretting hand doesn't
    hold down (tapped, natural harmonics). ``bend`` is in semitones. ``likely`` is the finger that holds the
    note in the form that the notes around it come from, ``near`` the position that a mark asks for: another
    finger or position costs something.
    """

    places: tuple[Place, ...]
    finger: int | None = None
    press: bool = True
    bend: float = 0.0
    vibrato: bool = False
    likely: int | None = None
    near: int | None = None


class Pressed(NamedTuple):
    """What one finger does: its fret, its outermost strings, and what the price is of setting a new barre."""

    fret: int
    low: int
    high: int
    new: int


Presses = dict[int, Pressed]  # by finger
Shape = tuple[Held | None, ...]  # None: a note held from before that is let go
State = tuple[int, Shape, int]  # the position, the shape, and what it costs


class Layer:
    """The states of a moment, in the order that breaks ties. ``struck`` notes come first, then held ones.

    States of one shape, which differ in the position alone, are of one kind; ``firsts`` has the first of
    each. ``form`` is the same for layers that differ only in how far along the neck they are; ``lowest`` is
    the lowest fret, 0 where all strings are open.
    """

    __slots__ = (
        "costs",
        "firsts",
        "form",
        "idle",
        "kinds",
        "lowest",
        "middles",
        "pitches",
        "places",
        "positions",
        "presses",
        "shapes",
        "struck",
        "wants",
    )

    def __init__(self, neck: Neck, weights: Weights, wants: tuple[Want, ...], struck: int) -> None:
        self.wants = wants
        self.struck = struck
        self.pitches = tuple(neck.sounds(want.places[0]) for want in wants[:struck])
        found = possible(neck, weights, wants, struck)
        ties = {shape: _tie(shape) for shape in {shape for _, shape, _ in found}}
        found.sort(key=lambda state: (state[0], ties[state[1]]))
        self.positions = tuple([position for position, _, _ in found])
        self.shapes = tuple([shape for _, shape, _ in found])
        numbers = dict(zip(dict.fromkeys(self.shapes), range(len(found)), strict=False))
        kinds = [numbers[shape] for shape in self.shapes]
        self.kinds = tuple(kinds)
        self.firsts = [kinds.index(kind) for kind in range(len(numbers))]
        self.lowest = min([h.fret for shape in numbers for h in shape if h and h.fret], default=0)
        self.form = tuple([_moved(shape, 1 - self.lowest) for shape in numbers])
        centre = (len(neck.instrument.tuning) + 1) / 2
        self.costs = [cost for _, _, cost in found]
        middles = [round(weights.across * UNIT * _middle(shape, centre)) for shape in numbers]
        self.middles = tuple([middles[kind] for kind in kinds])
        places = [tuple([h[:2] for h in shape[:struck] if h]) for shape in numbers]
        self.places = tuple([places[kind] for kind in kinds])
        presses = [_presses(shape, weights) for shape in numbers]
        self.presses = tuple([presses[kind] for kind in kinds])
        self.idle = tuple([not presses[kind] for kind in kinds])


def possible(neck: Neck, weights: Weights, wants: tuple[Want, ...], struck: int) -> list[State]:
    """The states of a moment in no order; a layer has them with all that moves between them ask for."""
    found = _states(neck, weights, wants, struck)
    if not found:  # a finger that was asked for can't be there: the note is kept, the finger is not
        free = tuple(want._replace(finger=None) for want in wants)
        found = _states(neck, weights, free, struck)
    centre = (len(neck.instrument.tuning) + 1) / 2
    shapes = {shape for _, shape, _ in found}
    wished = next((want.near for want in wants[:struck] if want.near is not None), weights.position)
    extra = {shape: _extra(weights, wants, shape, centre) for shape in shapes}
    astray = 0
    states = []
    for position, shape, cost in found:
        if wished is not None and any(held and held.finger for held in shape):
            astray = _astray(neck, weights, position, wished)
        states.append((position, shape, cost + extra[shape] + astray))
    return states


def _extra(weights: Weights, wants: tuple[Want, ...], shape: Shape, centre: float) -> int:
    """What a shape costs for other fingers than are likely, and a chord for strings off the middle."""
    unlike = sum(
        held is not None and held.finger > 0 and want.likely not in (None, held.finger)
        for want, held in zip(wants, shape, strict=False)
    )
    edge = weights.edge if len(wants) > 1 else weights.edge_alone
    return round(UNIT * (edge * _from_middle(shape, centre) + weights.unlike * unlike))


def _moved(shape: Shape, frets: int) -> Shape:
    """A shape so many frets along the neck; open strings stay open."""
    return tuple(Held(h.string, h.fret + frets, h.finger) if h and h.fret else h for h in shape)


def _presses(shape: Shape, weights: Weights) -> Presses:
    found: Presses = {}
    for held in shape:
        if held and held.finger:
            last = found.get(held.finger)
            high = min(held.string, last.high) if last else held.string
            low = max(held.string, last.low) if last else held.string
            found[held.finger] = Pressed(held.fret, low, high, _barre_cost(weights, low - high + 1))
    return found


def _barre_cost(weights: Weights, covers: int) -> int:
    if covers == 1:
        return 0
    return round(UNIT * (weights.barre if covers > _HALF else weights.half_barre))


def _astray(neck: Neck, weights: Weights, position: int, wished: int) -> int:
    return round(UNIT * weights.astray * abs(neck.along[position] - neck.along[max(wished, 1)]) / 100)


def _tie(shape: Shape) -> tuple[int, list[int], list[int]]:
    """In one position: fewer fingers, then lower string numbers."""
    held = [h for h in shape if h]
    fingers = [h.finger for h in held]
    return len(set(fingers) - {0}), [h.string for h in held], fingers


def _from_middle(shape: Shape, centre: float) -> float:
    """How many strings the notes are from the middle of the neck, in all."""
    return sum([abs(h.string - centre) for h in shape if h])


def _middle(shape: Shape, default: float) -> float:
    strings = [h.string for h in shape if h]
    return sum(strings) / len(strings) if strings else default


def _states(neck: Neck, weights: Weights, wants: tuple[Want, ...], struck: int) -> list[State]:
    """Position, shape and cost of every state; forms that break a limit only where none keeps it."""
    if len(wants) == 1:
        return _lone(neck, weights, wants[0])
    legal = list(_together(neck, weights, wants, struck, strict=True))
    return legal or sorted(_together(neck, weights, wants, struck, strict=False), key=_broken)[:MOST]


def _broken(state: State) -> int:
    return state[2]


def _lone(neck: Neck, weights: Weights, want: Want) -> list[State]:
    found: list[State] = []
    for string, fret in want.places:
        held = Held(string, fret, 0)
        if fret == 0 or not want.press:
            found += _free(weights, (held,), _note_cost(weights, want, held))
            continue
        for finger, ways in _fingered(neck, weights, fret, want.finger, want.likely):
            held = Held(string, fret, finger)
            cost, shape = _note_cost(weights, want, held), (held,)
            found += [(position, shape, cost + more) for position, more in ways]
    return found


@lru_cache(maxsize=512)
def _fingered(
    neck: Neck, weights: Weights, fret: int, asked: int | None, likely: int | None
) -> tuple[tuple[int, list[tuple[int, int]]], ...]:
    """Each finger that may hold a fret on its own, whatever the string, with the positions that it may do so
    from and what these cost; ``asked`` is the one that must be used, or None. The ``likely`` one is part of
    a form that is held: a fret off its own costs no more."""
    height = _height(neck, weights, fret)
    found = []
    for finger in (asked,) if asked else (1, 2, 3, 4):
        own = fret - finger + 1
        little = weights.little if finger == 4 else 0.0
        off_window = 0.0 if finger == likely else weights.off_window
        ways = [
            (position, round(UNIT * (abs(position - own) * off_window + height + little)))
            for position in _alone(own, finger, marked=finger in (asked, likely))
        ]
        found.append((finger, ways))
    return tuple(found)


def _alone(own: int, finger: int, *, marked: bool) -> Sequence[int]:
    """The positions from which a finger on its own plays, ``own`` being the one where it needs no reach."""
    first = own - 1 if marked or finger == 4 else own
    last = own + 1 if marked or finger == 1 else own
    near = range(max(first, 1), min(last, LAST_POSITION) + 1)
    if own > LAST_POSITION or (marked and own < 0):
        return (*near, min(max(own, 1), LAST_POSITION))
    return near


def _height(neck: Neck, weights: Weights, fret: int) -> float:
    """What it costs to be up the neck, whichever finger is there."""
    below = max(0.0, neck.along[LOW] - neck.along[fret])
    along = weights.height * neck.along[fret] + weights.low * below
    return along / 100 + weights.body * max(0, fret - BODY)


def _free(weights: Weights, shape: Shape, cost: int) -> list[State]:
    """Nothing is pressed: the hand may be anywhere, and stays where it was. An open string is dear where the
    hand is not near the nut."""
    away = round(UNIT * weights.open_away) if any(held and not held.fret for held in shape) else 0
    return [
        (position, shape, cost + (away if position > OPEN_POSITION else 0))
        for position in range(1, LAST_POSITION + 1)
    ]


def _note_cost(weights: Weights, want: Want, held: Held) -> int:
    """What one note costs whatever else sounds."""
    if not want.bend and not want.vibrato:
        return round(weights.open_string * UNIT) if held.fret == 0 and want.press else 0
    cost = 0.0
    if held.fret == 0 and want.press:
        cost += weights.open_string
    if want.bend and held.finger:
        cost += BEND_FINGER[held.finger] + BEND_STRING[min(held.string, 6) - 1]
        cost += BEND_LOW_FRET if held.fret <= 3 else 0.0
        cost += BEND_WIDE_INDEX if held.finger == 1 and want.bend >= 2 else 0.0
    if held.finger == 4 and want.vibrato:
        cost += weights.vibrato_little
    if held.fret == 0 and (want.bend or want.vibrato):
        cost += VIOLATION / UNIT
    return round(cost * UNIT)


def _together(
    neck: Neck, weights: Weights, wants: tuple[Want, ...], struck: int, *, strict: bool
) -> Iterator[State]:
    choices: list[tuple[Place | None, ...]] = [
        want.places if number < struck else (*want.places, None) for number, want in enumerate(wants)
    ]
    pressed = [want.press for want in wants]
    found = within_reach(neck, choices, pressed) if strict else least_apart(neck, choices, pressed)
    for places in found:
        yield from _placed(neck, weights, wants, places, strict=strict)


def _placed(
    neck: Neck, weights: Weights, wants: tuple[Want, ...], places: tuple[Place | None, ...], *, strict: bool
) -> Iterator[State]:
    strings = [place[0] for place in places if place]
    clash = VIOLATION * (len(strings) - len(set(strings)))
    down = tuple(sorted({p for p, w in zip(places, wants, strict=True) if p and (w.press or p[1] == 0)}))
    found = neck.grips(down)
    if not found:
        if not strict:
            bare = tuple(Held(*place, 0) if place else None for place in places)
            yield min([p[1] for p in down if p[1]], default=1), bare, clash + VIOLATION
        return
    marked = any(want.finger for want in wants)
    best = found[0].cost
    for grip in found:
        if strict and grip.excess > 0:
            break
        if grip.cost > best + _WORSE and not marked:
            continue
        shape = _shape(grip, wants, places)
        if shape is None:
            continue
        cost = clash + round(UNIT * weights.grip * grip.cost) + EXCESS * round(10 * grip.excess)
        cost += VIOLATION if grip.excess > 0 else 0
        cost += sum([_note_cost(weights, w, h) for w, h in zip(wants, shape, strict=True) if h])
        if not grip.presses:
            yield from _free(weights, shape, cost)
            continue
        height = _height(neck, weights, grip.presses[0].fret)
        away = weights.open_away if any(held and not held.fret for held in shape) else 0.0
        for position, off in _positions(grip):
            extra = off * weights.off_window_chord + height + (away if position > OPEN_POSITION else 0.0)
            yield position, shape, cost + round(UNIT * extra)


def _shape(grip: Grip, wants: tuple[Want, ...], places: tuple[Place | None, ...]) -> Shape | None:
    """Fingers for the places, or None where a note asks for another finger."""
    fingers = {(string, p.fret): p.finger for p in grip.presses for string in p.strings}
    shape: list[Held | None] = []
    for want, place in zip(wants, places, strict=True):
        if place is None:
            shape.append(None)
            continue
        finger = fingers.get(place, 0) if want.press else 0
        if want.finger and finger and finger != want.finger:
            return None
        shape.append(Held(*place, finger))
    return tuple(shape)


def _positions(grip: Grip) -> list[tuple[int, int]]:
    """Positions of a grip with how many frets more than need be its fingers are off their own, in all."""
    own = [p.fret - p.finger + 1 for p in grip.presses]
    far = [2 if p.finger == 4 and p.fret > _HIGH else 1 for p in grip.presses]
    first = max([o - f for o, f in zip(own, far, strict=True)])
    last = min([o + f for o, f in zip(own, far, strict=True)])
    near = [(position, _off(own, position)) for position in range(max(1, first), last + 1)]
    if not near:
        around = range(max(1, min(own) - 2), max(1, max(own) + 2) + 1)
        off, middle = min([(_off(own, position), position) for position in around])
        near = [(middle, off)]
    least = min([off for _, off in near])
    return [(min(position, LAST_POSITION), off - least) for position, off in near if off <= least + 1]


def _off(own: list[int], position: int) -> int:
    """How many frets fingers are off their own in a position, in all."""
    return sum([abs(position - fret) for fret in own])
