"""What it costs to read notes as a form: the one table of weights, and what follows from it.

Costs are whole numbers of 1/200. A label is a form with a quality at an anchor fret; labels that differ in
the anchor only share one number, ``fq``.
"""

from __future__ import annotations

from functools import cache, lru_cache

from tabtools.forms.evidence import Shape, Stroke, Tone
from tabtools.forms.table import (
    FORMS,
    QUALITIES,
    REACH,
    RICH,
    STRINGS,
    grips,
    letter_class,
    quality,
    relative_fret,
)
from tabtools.record import NamedTuple
from tabtools.theory.chord import Chord
from tabtools.theory.line_of_fifths import degree_semitones, pitch_class, place

UNIT = 200
# The weights are proposals of our own, chosen on cases with known answers.
SEGMENT = 200
OTHER_GRIP = 20
EXTENSION = 70
EXTENSION_TOGETHER = 140
SAME_STRING = 60
OUTSIDE = (360, 200, 120)  # by the sides on which the line moves by a step
STRETCH = 80  # more for a note one fret beyond the hand's reach, if the line steps to it and away
FAR_OPEN = (200, 120)  # an open string beyond the hand's reach: foreign, chord tone
PRIOR = {
    "maj": 0, "min": 0, "7": 30, "m7": 40, "maj7": 50, "5": 60, "sus4": 60, "sus2": 70, "dim": 70, "6": 70,
    "m7b5": 80, "dim7": 80, "9": 90, "aug": 100, "m6": 90, "m(maj7)": 100, "7sus4": 90, "add9": 100,
    "6/9": 110, "m9": 100, "maj9": 100, "7#9": 110, "7b9": 120,
}  # fmt: skip
FORM_PRIOR = {"C": 20, "G": 30}
# A degree of the chord that never sounds.
MISSING = {"1": 100, "3": 140, "b3": 140, "5": 50}
MISSING_OTHER = 240
GIVEN = (3, 10)  # of that, where the chord symbol vouches for the degree
# A label against the chord symbol: of the same root and family, but without a degree that the symbol has,
# with one more, or with a third where it has none; part of the symbol's chord; another chord.
LACKS_DEGREE = 30
ADDS_DEGREE = 50
OWN_THIRD = 80
PART_OF_CHORD = 80
OTHER_CHORD = 250
MOVED = -60  # the form of the segment before at another anchor
SLID = -120  # the same, reached by a slide
WITH_CHORD = -60  # a boundary where the chord symbol changes
RUN_NOTE = (100, 180)  # first part and each note
RUN_LINE = 240  # of a line: first part
RUN_STEP = {1: 50, 2: 80}  # each single note, or each double stop
RUN_LEAP = 120  # each leap beyond a step

_HELD = {(grip.form, grip.quality) for grip in grips()}
LABELS = tuple((form, name) for form in FORMS for name in QUALITIES if (form, name) in _HELD)
WIDTH = len(LABELS)
_RICH = frozenset(fq for fq, (_, name) in enumerate(LABELS) if name in RICH)
BLOCKED = 1 << 20
BITS = 31
_HIGHEST = 36  # an anchor beyond any neck
_THIRDS = frozenset({3, 4})
_VOUCHED = frozenset({0, 3, 4, 7})  # root, third and fifth, in semitones


@cache
def degree_bits(name: str) -> dict[int, int]:
    """The bit of each degree of a quality, by semitones above the root, 0 to 11."""
    return {semitones % 12: 1 << i for i, semitones in enumerate(quality(name).semitones)}


@cache
def missing(name: str, given: int = 0) -> tuple[int, ...]:
    """What a quality costs for the degrees that never sound, by the bits of those that do.

    ``given`` are the bits of the degrees that the chord symbol vouches for.
    """
    costs = []
    for i, degree in enumerate(quality(name).degrees):
        cost = MISSING.get(degree, MISSING_OTHER)
        costs.append(cost * GIVEN[0] // GIVEN[1] if given >> i & 1 else cost)
    return tuple(
        sum(cost for i, cost in enumerate(costs) if not sounded >> i & 1) for sounded in range(BITS + 1)
    )


class Entry(NamedTuple):
    """What it costs to begin with a label, under one chord symbol: ``begin`` at once, ``missing`` by the
    degrees that have sounded, ``empty`` both before any has; ``charge`` is what the symbol itself costs, and
    ``stays`` whether a label that is going on may go on under it: another chord cuts it."""

    begin: int
    charge: int
    missing: tuple[int, ...]
    empty: int
    stays: bool


@lru_cache(maxsize=256)
def entries(chord: Chord | None) -> tuple[Entry, ...]:
    """The entry of every label, by its number modulo an octave; see `number`."""
    return tuple(
        _entry(chord, (letter_class(form) + anchor) % 12, form, name)
        for anchor in range(12)
        for form, name in LABELS
    )


def _entry(chord: Chord | None, root: int, form: str, name: str) -> Entry:
    charge, given, told, stays = 0, 0, False, True
    if chord is not None:
        charge, given, told = _against(chord, root, name)
        stays = pitch_class(place(chord.root_step, chord.root_alter)) == root and charge < OTHER_CHORD
    begin = SEGMENT + (0 if told else PRIOR[name]) + FORM_PRIOR.get(form, 0) + charge
    table = missing(name, given)
    return Entry(begin, charge, table, begin + table[0], stays)


@lru_cache(maxsize=4096)
def _against(chord: Chord, root: int, name: str) -> tuple[int, int, bool]:
    """The charge of a label against a chord symbol, the bits of the degrees that the symbol vouches for, and
    whether it says just this chord."""
    bits = degree_bits(name)
    own = {semitones % 12 for semitones in chord.quality.semitones}
    chord_root = pitch_class(place(chord.root_step, chord.root_alter))
    if chord_root != root:
        shifted = {(semitones + chord_root - root) % 12 for semitones in own}
        return (PART_OF_CHORD if set(bits) <= shifted else OTHER_CHORD), 0, False
    given = sum(bit for semitones, bit in bits.items() if semitones in own & _VOUCHED)
    if not _families_agree(own, name):
        return OTHER_CHORD, given, False
    added = OWN_THIRD if set(bits) & _THIRDS - own else ADDS_DEGREE if set(bits) - own else 0
    return added + (LACKS_DEGREE if own - set(bits) else 0), given, own == set(bits)


def _families_agree(own: set[int], name: str) -> bool:
    """Whether a quality and a chord's tones do not contradict each other in the third."""
    return len((own | set(degree_bits(name))) & _THIRDS) < 2


@cache
def _grip_cost(fq: int, string: int, relative: int) -> int | None:
    """The cost of a place in a grip of a label, with the bit of its degree; None outside all its grips."""
    return _grip_places()[fq].get((string, relative))


@cache
def _grip_places() -> tuple[dict[tuple[int, int], int], ...]:
    places: tuple[dict[tuple[int, int], int], ...] = tuple({} for _ in LABELS)
    for grip in grips():
        bits = degree_bits(grip.quality)
        for string, degree in grip.degrees:
            place_ = string, relative_fret(grip.form, string, degree)
            bit = bits[degree_semitones(degree) % 12]
            found = places[LABELS.index((grip.form, grip.quality))]
            found.setdefault(place_, (0 if grip.main else OTHER_GRIP) << 5 | bit)
    for form in FORMS:
        _double(places[LABELS.index((form, "5"))], form)
    return places


def _double(power: dict[tuple[int, int], int], form: str) -> None:
    """A power chord may be doubled: by the roots and fifths of the form's major grip."""
    bits = degree_bits("5")
    for grip in grips():
        if (grip.form, grip.quality) == (form, "maj"):
            for string, degree in grip.degrees:
                if degree != "3":
                    place_ = string, relative_fret(form, string, degree)
                    power.setdefault(place_, OTHER_GRIP << 5 | bits[degree_semitones(degree)])


def in_grip(fq: int, tone: Tone, anchor: int) -> bool:
    """Whether a note lies in a grip of a label, as fretted."""
    return not tone.raised and _grip_cost(fq, tone.string, tone.fret + tone.retuned - anchor) is not None


Row = tuple[int, ...]


@cache
def _row(
    string: int, shape: int, reach: int, is_open: bool, raised: int, outside: int, together: bool
) -> Row:
    """The cost of a note under every label, as cost << 5 | bit of its degree; bit 0 outside the form.

    ``shape`` and ``reach`` are its frets above the anchor as the form sees them and as the hand does.
    """
    row = []
    for fq, (form, name) in enumerate(LABELS):
        sounds = (STRINGS[string - 1] + shape + raised - letter_class(form)) % 12
        bit = degree_bits(name).get(sounds, 0)
        grip = None if raised else _grip_cost(fq, string, shape)
        low, high = REACH[form]
        if not (low <= reach <= high or low <= shape <= high):
            beyond = low - 1 <= reach <= high + 1 and outside == OUTSIDE[2]
            far = OUTSIDE[2] + STRETCH if beyond else BLOCKED
            row.append(FAR_OPEN[bool(bit)] << 5 | bit if is_open else far << 5)
        elif grip is not None:
            row.append(grip)
        elif bit:
            row.append((EXTENSION_TOGETHER if together else EXTENSION) << 5 | bit)
        else:
            row.append(outside << 5)
    return tuple(row)


def _shape_row(shape: Shape, anchor: int, together: bool) -> Row:
    """The cost of a note under every label at an anchor."""
    reach = shape.fret - anchor
    outside = OUTSIDE[shape.steps]
    return _row(shape.string, reach + shape.retuned, reach, shape.is_open, shape.raised, outside, together)


def bits(tone: Tone, label: tuple[int, int]) -> int:
    """The bit of the degree that a note has under a label, given as ``fq`` and anchor; 0 outside it."""
    fq, anchor = label
    return _shape_row(tone.shape(0), anchor, False)[fq] & BITS


class Sight(NamedTuple):
    """A stroke under every label within reach of the hand, by the label's number counted from ``base``.

    ``values`` are the costs as cost << 5 | bits of the degrees; ``fresh`` are the labels that the stroke may
    begin: number, ``fq``, cost and bits of each; the rich qualities among them only if the stroke is rich.
    """

    values: dict[int, int]
    fresh: tuple[tuple[int, int, int, int], ...]


def number(fq: int, anchor: int) -> int:
    """The number of a label; it grows by WIDTH from one anchor fret to the next."""
    return anchor * WIDTH + fq


def sight(stroke: Stroke) -> Sight:
    """A stroke's sight, counted from its base; the same one serves the same shape all along the neck."""
    return _sight(stroke.shape, stroke.rich)


@lru_cache(maxsize=512)
def _sight(key: tuple[Shape, ...], rich: bool) -> Sight:
    fretted = [shape.fret for shape in key if not shape.is_open]
    more = int(any(shape.steps == 2 for shape in key))
    around = range(max(fretted or [0]) - 5 - more, min(fretted or [0]) + 2 + more)
    anchors = around if fretted else range(-5, _HIGHEST + 1)
    values = {
        number(fq, anchor): value
        for anchor in anchors
        for fq, value in enumerate(_together(key, anchor))
        if value >> 5 < BLOCKED
    }
    fresh = tuple(
        (label, label % WIDTH, value >> 5, value & BITS)
        for label, value in values.items()
        if (rich or label % WIDTH not in _RICH)
        and (fretted or label // WIDTH <= 1)
        and _begins(key, *divmod(label, WIDTH))
    )
    return Sight(values, fresh)


def _together(key: tuple[Shape, ...], anchor: int) -> Row:
    parts = [_shape_row(shape, anchor, len(key) > 1) for shape in key]
    if len(parts) == 1:
        return parts[0]
    return tuple(
        min(sum(v >> 5 for v in values), BLOCKED) << 5 | _joined(values)
        for values in zip(*parts, strict=True)
    )


def _joined(values: tuple[int, ...]) -> int:
    bits = 0
    for value in values:
        bits |= value & BITS
    return bits


def _begins(key: tuple[Shape, ...], anchor: int, fq: int) -> bool:
    """Whether a note of the stroke lies in a grip of the label: only such a note makes one think of it. In
    open position that is so of every open string of the chord."""
    return any(
        _grip_cost(fq, shape.string, shape.fret + shape.retuned - anchor) is not None
        or (shape.is_open and not anchor and _shape_row(shape, anchor, False)[fq] & BITS)
        for shape in key
        if not shape.raised
    )
