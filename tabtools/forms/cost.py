"""What it costs to read notes as a form: the one table of weights, and what follows from it.

Costs are whole numbers of 1/200. A label is a form with a quality at an anchor fret; labels that differ in
the anchor only share one number, ``fq``.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache, lru_cache
from typing import NamedTuple

from tabtools.forms.evidence import Tone
from tabtools.forms.table import FORMS, QUALITIES, REACH, STRINGS, grips, letter_class, quality, relative_fret
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
FAR_OPEN = (200, 120)  # an open string beyond the hand's reach: foreign, chord tone
PRIOR = {
    "maj": 0, "min": 0, "7": 30, "m7": 40, "maj7": 50, "5": 60, "sus4": 60, "sus2": 70, "dim": 70, "6": 70,
    "m7b5": 80, "dim7": 80, "9": 90, "aug": 100,
}  # fmt: skip
FORM_PRIOR = {"C": 20, "G": 30}
# A degree of the chord that never sounds.
MISSING = {"1": 100, "3": 140, "b3": 140, "5": 50}
MISSING_OTHER = 240
GIVEN = (3, 10)  # of that, where the chord symbol vouches for the degree
# A label against the chord symbol: part of that chord, or another one.
PART_OF_CHORD = 80
OTHER_CHORD = 200
MOVED = -60  # the form of the segment before at another anchor
SLID = -120  # the same, reached by a slide
WITH_CHORD = -60  # a boundary where the chord symbol changes
RUN_NOTE = (100, 180)  # first part and each note
RUN_STEP = (240, 50, 120)  # of a line of single notes: first part, each note, each leap beyond a step

LABELS = tuple((form, name) for form in FORMS for name in QUALITIES)
BLOCKED = 1 << 20
BITS = 31
_MAJOR = frozenset({"maj", "7", "maj7", "6", "9", "aug"})
_MINOR = frozenset({"min", "m7", "dim", "m7b5", "dim7"})


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
    degrees that have sounded, ``empty`` both before any has; ``charge`` is what the symbol itself costs."""

    begin: int
    charge: int
    missing: tuple[int, ...]
    empty: int


@lru_cache(maxsize=256)
def entries(chord: Chord | None) -> tuple[tuple[Entry, ...], ...]:
    """The entry of every label: by semitones from the form's letter to its root, and by ``fq``."""
    return tuple(
        tuple(_entry(chord, (letter_class(form) + moved) % 12, form, name) for form, name in LABELS)
        for moved in range(12)
    )


def _entry(chord: Chord | None, root: int, form: str, name: str) -> Entry:
    charge = given = 0
    if chord is not None:
        charge, given = _against(chord, root, name)
    begin = SEGMENT + PRIOR[name] + FORM_PRIOR.get(form, 0) + charge
    table = missing(name, given)
    return Entry(begin, charge, table, begin + table[0])


@lru_cache(maxsize=4096)
def _against(chord: Chord, root: int, name: str) -> tuple[int, int]:
    """The charge of a label against a chord symbol, and the bits of the degrees that the symbol gives."""
    bits = degree_bits(name)
    own = {semitones % 12 for semitones in chord.quality.semitones}
    chord_root = pitch_class(place(chord.root_step, chord.root_alter))
    if chord_root == root:
        weak = {0, 3, 4, 7}
        given = sum(bit for semitones, bit in bits.items() if semitones in own & weak)
        if _families_agree(own, name):
            return 0, given
        return OTHER_CHORD, given
    shifted = {(semitones + chord_root - root) % 12 for semitones in own}
    return (PART_OF_CHORD if set(bits) <= shifted else OTHER_CHORD), 0


def _families_agree(own: set[int], name: str) -> bool:
    if name in _MAJOR:
        return 4 in own or 3 not in own
    if name in _MINOR:
        return 3 in own and 4 not in own or not own & {3, 4}
    return True


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
    return places


def in_grip(fq: int, tone: Tone, anchor: int) -> bool:
    """Whether a note lies in a grip of a label, as fretted."""
    return not tone.raised and _grip_cost(fq, tone.string, tone.fret + tone.retuned - anchor) is not None


Row = tuple[int, ...]


@cache
def _row(
    string: int, shape: int, reach: int, is_open: bool, raised: int, outside: int, together: bool
) -> Row:
    """The cost of a note under every label, as cost << 5 | bit of its degree; bit 0 outside the form.

    ``shape`` and ``reach`` are its frets above the anchor as the form sees it and as the hand does.
    """
    row = []
    for fq, (form, name) in enumerate(LABELS):
        sounds = (STRINGS[string - 1] + shape + raised - letter_class(form)) % 12
        bit = degree_bits(name).get(sounds, 0)
        grip = None if raised else _grip_cost(fq, string, shape)
        low, high = REACH[form]
        if not low <= reach <= high:
            row.append(FAR_OPEN[bool(bit)] << 5 | bit if is_open else BLOCKED << 5)
        elif grip is not None:
            row.append(grip)
        elif bit:
            row.append((EXTENSION_TOGETHER if together else EXTENSION) << 5 | bit)
        else:
            row.append(outside << 5)
    return tuple(row)


def tone_row(tone: Tone, anchor: int, together: bool) -> Row:
    """The cost of a note under every label at an anchor."""
    return _row(
        tone.string,
        tone.fret + tone.retuned - anchor,
        tone.fret - anchor,
        tone.fret == 0,
        tone.raised,
        OUTSIDE[tone.steps],
        together,
    )


Fresh = tuple[int, int, int, int, int]


@dataclass(frozen=True, slots=True)
class Sight:
    """A stroke under every label within reach: ``rows`` by anchor above ``base``.

    ``fresh`` are the labels that it may begin: anchor above ``base``, fq, cost, bits of its degrees, and
    its string if it has but one, else 0.
    """

    rows: dict[int, Row]
    fresh: tuple[Fresh, ...]


def sight(tones: tuple[Tone, ...], frets: int) -> tuple[int, Sight]:
    """A stroke's base, and its sight; the same sight serves the same shape all along the neck."""
    fretted = [tone.fret for tone in tones if tone.fret]
    base = min(fretted) if len(fretted) == len(tones) else 0
    key = tuple((t.string, t.retuned, t.fret - base, t.fret == 0, t.raised, OUTSIDE[t.steps]) for t in tones)
    return base, _sight(key, frets if len(fretted) < len(tones) else 1)


@lru_cache(maxsize=4096)
def _sight(key: tuple[tuple[int, int, int, bool, int, int], ...], highest: int) -> Sight:
    fretted = [fret for _, _, fret, is_open, _, _ in key if not is_open]
    anchors = range(max(fretted) - 5, min(fretted) + 2) if fretted else range(-5, highest + 1)
    rows = {anchor: _together(key, anchor) for anchor in anchors}
    single = key[0][0] if len({string for string, *_ in key}) == 1 else 0
    fresh = tuple(
        (anchor, fq, value >> 5, value & BITS, single)
        for anchor, row in rows.items()
        if fretted or anchor <= 1
        for fq, value in enumerate(row)
        if value >> 5 < BLOCKED and _begins(key, anchor, fq)
    )
    return Sight({anchor: row for anchor, row in rows.items() if min(row) < BLOCKED << 5}, fresh)


def _together(key: tuple[tuple[int, int, int, bool, int, int], ...], anchor: int) -> Row:
    parts = [
        _row(string, fret + retuned - anchor, fret - anchor, is_open, raised, outside, len(key) > 1)
        for string, retuned, fret, is_open, raised, outside in key
    ]
    if len(parts) == 1:
        return parts[0]
    return tuple(
        min(sum(v >> 5 for v in values), BLOCKED) << 5 | _joined(values) for values in zip(*parts, strict=True)
    )


def _joined(values: tuple[int, ...]) -> int:
    bits = 0
    for value in values:
        bits |= value & BITS
    return bits


def _begins(key: tuple[tuple[int, int, int, bool, int, int], ...], anchor: int, fq: int) -> bool:
    """Whether a note of the stroke lies in a grip of the label: only such a note makes one think of it."""
    return any(
        not raised and _grip_cost(fq, string, fret + retuned - anchor) is not None
        for string, retuned, fret, _, raised, _ in key
    )
