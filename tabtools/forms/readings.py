"""How sure the reading of one segment is: what the other forms would cost, and which fit just as well."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache

from tabtools.forms import boxcost, cost
from tabtools.forms.boxcost import BoxLabel
from tabtools.forms.cost import BITS, LABELS, SAME_STRING, UNIT, WIDTH, Entry
from tabtools.forms.cuts import FormLabel
from tabtools.forms.evidence import Stroke, Tone, moves
from tabtools.forms.neck import Stringing
from tabtools.forms.table import RICH, STRINGS, letter_class
from tabtools.record import NamedTuple

_WARMTH = 0.5 * UNIT  # costs so much apart differ e-fold in how likely they are
_WIDEST = int(2.5 * UNIT)  # beyond that a reading is no alternative
# Two notes of a chord leave open which chord it is; then no reading is more likely than not.
_EVIDENCE = 3
_UNSURE = 0.49
_EVEN = ("aug", "dim7")


class Ranking(NamedTuple):
    """A segment's label among all others: ``confidence`` 0 to 1 in its root and quality, ``margin`` in
    units of one segment to the best of another root or quality (None where there is none), ``equal`` those
    of the same chord in which every note lies in the grip as well, ``others`` all the rest, best first."""

    confidence: float
    margin: float | None
    equal: tuple[FormLabel, ...]
    others: tuple[FormLabel, ...]


def rank(strokes: Sequence[Stroke], label: FormLabel, neck: Stringing, shift: int) -> Ranking:
    """The label of a segment against every form of every chord that holds the segment's members.

    ``shift`` is by how many semitones chord symbols lie above the form table's tuning.
    """
    seen = _seen(strokes)
    own = _price(seen, label, shift)
    assert own is not None
    members = [tone for stroke in strokes for tone in stroke.tones if is_member(label, tone)]
    priced = [(own, label)]
    for other in _rivals(members, neck, any(stroke.rich for stroke in strokes)):
        if other != label:
            price = _price(seen, other, shift)
            if price is not None and price <= own + _WIDEST:
                priced.append((price, other))
    return _ranking(priced, label, members, any(stroke.chord for stroke in strokes))


def rooted(strokes: Sequence[Stroke], label: FormLabel, ranking: Ranking) -> FormLabel:
    """The label that the lowest note speaks for, where without a chord symbol every note may be the root.

    So it is with augmented triads and diminished sevenths, which divide the octave evenly.
    """
    quality = LABELS[label.fq][1]
    if quality not in _EVEN or any(stroke.chord for stroke in strokes):
        return label
    tones = [tone for stroke in strokes for tone in stroke.tones if is_member(label, tone)]
    bass = _sounding(min(tones, key=lambda tone: tone.midi))
    fitting = [other for other in ranking.others if _chord_of(other) == (bass, quality)]
    return label if _chord_of(label)[0] == bass or not fitting else fitting[0]


def rank_box(strokes: Sequence[Stroke], place: BoxLabel) -> float:
    """How sure the scale of a box is among all boxes that hold the segment, 0 to 1."""
    prices: dict[BoxLabel, int] = {}
    for stroke in strokes:
        row = boxcost.stroke_row(stroke.tones)
        prices = {box: prices.get(box, 0) + (row[box] >> 5) for box in row if not prices or box in prices}
    weights = {box: math.exp((prices[place] - price) / _WARMTH) for box, price in prices.items()}
    same = sum(weight for box, weight in weights.items() if (box.tonic - place.tonic) % 12 == 0)
    return round(same / sum(weights.values()), 3)


def _ranking(
    priced: list[tuple[int, FormLabel]], label: FormLabel, members: Sequence[Tone], told: bool
) -> Ranking:
    own = priced[0][0]
    weights = [math.exp((own - price) / _WARMTH) for price, _ in priced]
    same = [_same_chord(label, other) for _, other in priced]
    confidence = sum(weight for weight, alike in zip(weights, same, strict=True) if alike) / sum(weights)
    degrees = {_sounding(tone) for tone in members}
    if len(degrees) < _EVIDENCE and not told:
        confidence = min(confidence, _UNSURE)
    rest = sorted(priced[1:], key=lambda way: (way[0], way[1].fq, way[1].anchor))
    equal = tuple(
        other for _, other in rest if _same_chord(label, other) and _all_in_grips(label, other, members)
    )
    margin = next(((price - own) / UNIT for price, other in rest if not _same_chord(label, other)), None)
    others = tuple(other for _, other in rest if other not in equal)
    return Ranking(round(confidence, 3), margin, equal, others)


def is_member(label: FormLabel, tone: Tone) -> bool:
    """Whether a note is a chord tone of the label within the hand's reach, or an open one."""
    return bool(cost.bits(tone, label))


def _same_chord(label: FormLabel, other: FormLabel) -> bool:
    return _chord_of(label) == _chord_of(other)


def _chord_of(label: FormLabel) -> tuple[int, str]:
    form, quality = LABELS[label.fq]
    return (letter_class(form) + label.anchor) % 12, quality


def _all_in_grips(label: FormLabel, other: FormLabel, members: Sequence[Tone]) -> bool:
    return all(cost.in_grip(one.fq, tone, one.anchor) for one in (label, other) for tone in members)


def _sounding(tone: Tone) -> int:
    """The pitch class of a note above the form table's tuning."""
    return (STRINGS[tone.string - 1] + tone.fret + tone.retuned + tone.raised) % 12


def _rivals(members: Sequence[Tone], neck: Stringing, rich: bool) -> Iterator[FormLabel]:
    """Every form of every chord that holds all the members, where the hand reaches one of them; those of
    rich qualities if they may be meant."""
    wanted = 0
    for tone in members:
        wanted |= 1 << _sounding(tone)
    frets = [tone.fret for tone in members if tone.fret] or [0]
    for fq, root in _chords_with(wanted, rich):
        first = (root - letter_class(LABELS[fq][0])) % 12
        for anchor in (first - 12, first, first + 12):
            if max(frets) - 5 <= anchor <= min(frets) + 1 and neck.lowest <= anchor:
                yield FormLabel(fq, anchor)


@lru_cache(maxsize=4096)
def _chords_with(wanted: int, rich: bool) -> tuple[tuple[int, int], ...]:
    """``fq`` and root of every label whose chord holds a set of pitch classes, given as bits."""
    found = []
    for fq, (_, quality) in enumerate(LABELS):
        if quality in RICH and not rich:
            continue
        for root in range(12):
            tones = sum(1 << (root + semitones) % 12 for semitones in cost.degree_bits(quality))
            if wanted & tones == wanted:
                found.append((fq, root))
    return tuple(found)


class _Seen(NamedTuple):
    """What of a stroke decides a label's cost: its sight and base, the labels' entries under its chord
    symbol, and whether a chord turns and a string moves here."""

    values: dict[int, int]
    base: int
    entries: tuple[Entry, ...]
    turns: bool
    moves: bool


def _seen(strokes: Sequence[Stroke]) -> list[_Seen]:
    found = []
    for index, stroke in enumerate(strokes):
        moved = index > 0 and moves(strokes[index - 1], stroke)
        turns = index > 0 and stroke.turns
        values, entries = cost.sight(stroke).values, cost.entries(stroke.chord)
        found.append(_Seen(values, stroke.base * WIDTH, entries, turns, moved))
    return found


def _price(seen: Sequence[_Seen], label: FormLabel, shift: int) -> int | None:
    """What a label costs for a whole segment; None where it can't hold it."""
    number = cost.number(*label)
    octave = (number + shift * WIDTH) % (12 * WIDTH)
    entry = seen[0].entries[octave]
    price, sounded, bits_before = entry.begin, 0, 0
    for values, base, entries, turns, moved in seen:
        value = values.get(number - base)
        if value is None:
            return None
        bits = value & BITS
        price += value >> 5
        if turns:
            price += entries[octave].charge
        if moved and bits and bits_before:
            price += SAME_STRING
        sounded |= bits
        bits_before = bits
    return price + entry.missing[sounded]
