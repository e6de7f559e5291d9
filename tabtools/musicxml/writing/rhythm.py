"""A bar's events as written values: lanes of tied pieces, rests for the gaps, beams and tuplet brackets."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import groupby

from tabtools.record import NamedTuple
from tabtools.score import ZERO, Bar, Event, Quarters, TimeSignature
from tabtools.theory.duration import TYPES, Value, beats, single, split

FLAGS = {name: number for number, name in enumerate(list(TYPES)[list(TYPES).index("eighth") :], 1)}
_MOST_BEAMS = 8  # levels that the schema has
_GRACE = Value(ZERO, "eighth")


@dataclass(slots=True)
class Piece:
    """One written value. ``event`` is its place in the bar's events, None for a rest that fills a gap.

    ``first`` and ``last`` say whether the event begins and ends here; ``unit`` is the type that the tuplet
    counts in. A ``silent`` piece is time that passes without any sign.
    """

    onset: Quarters
    value: Value
    event: int | None = None
    first: bool = True
    last: bool = True
    silent: bool = False
    whole_bar: bool = False
    beams: tuple[str, ...] = ()
    brackets: tuple[str, ...] = ()
    unit: str | None = None

    @property
    def end(self) -> Quarters:
        return self.onset + self.value.duration


class Lane(NamedTuple):
    """What a MusicXML voice holds in one bar: pieces that follow one another without a gap."""

    voice: int
    pieces: tuple[Piece, ...]

    @property
    def end(self) -> Quarters:
        return self.pieces[-1].end


def is_grace(event: Event) -> bool:
    """Whether an event is written without a duration."""
    return event.grace or event.duration <= 0


def lanes(bar: Bar, before: Quarters = ZERO) -> tuple[Lane, ...]:
    """The voices of a bar. Events that overlap within a voice get a voice of their own.

    Only the first voice shows the rests that fill its gaps. A bar without events is one whole-bar rest.
    ``before`` is what of its metre has passed when the bar begins: values are cut and beamed by the metre.
    """
    if not bar.events:
        return (Lane(1, (Piece(ZERO, Value(bar.time.length, "whole"), whole_bar=True),)),)
    numbers = sorted({event.voice for event in bar.events})
    free = numbers[-1] + 1
    result: list[Lane] = []
    for number in numbers:
        indices = [i for i, event in enumerate(bar.events) if event.voice == number]
        for extra, layer in enumerate(_layers(bar.events, indices)):
            pieces = _pieces(bar, layer, before, silent=bool(result))
            result.append(Lane(free if extra else number, pieces))
            free += bool(extra)
    return tuple(result)


def _layers(events: tuple[Event, ...], indices: list[int]) -> list[list[int]]:
    """Events dealt into layers in which none begins before the one before it has ended."""
    layers: list[tuple[Quarters, list[int]]] = []
    for index in sorted(indices, key=lambda i: (events[i].onset, not is_grace(events[i]))):
        event = events[index]
        end = event.onset if is_grace(event) else event.onset + event.duration
        for place, (busy, layer) in enumerate(layers):
            if busy <= event.onset:
                layer.append(index)
                layers[place] = end, layer
                break
        else:
            layers.append((end, [index]))
    return [layer for _, layer in layers]


def _pieces(bar: Bar, layer: list[int], before: Quarters, silent: bool) -> tuple[Piece, ...]:
    pieces: list[Piece] = []
    now = ZERO
    for index in layer:
        event = bar.events[index]
        if event.onset > now:
            pieces += _gap(now, event.onset, before, bar.time, silent)
            now = event.onset
        if is_grace(event):
            pieces.append(Piece(now, _GRACE, index))
            continue
        values = _values(event, before, bar.time)
        for place, value in enumerate(values):
            pieces.append(Piece(now, value, index, place == 0, place == len(values) - 1))
            now += value.duration
    _bracket(pieces)
    _beam(pieces, before, bar)
    return tuple(pieces)


def _gap(start: Quarters, end: Quarters, before: Quarters, time: TimeSignature, silent: bool) -> list[Piece]:
    if silent:
        return [Piece(start, Value(end - start, "whole"), silent=True)]
    pieces = []
    for value in split(before + start, end - start, time, is_rest=True):
        pieces.append(Piece(start, value))
        start += value.duration
    return pieces


def _values(event: Event, before: Quarters, time: TimeSignature) -> tuple[Value, ...]:
    if event.tuplet:
        value = single(event.duration, event.tuplet)
        if value:
            return (value,)
    return split(before + event.onset, event.duration, time, not event.notes)


def _bracket(pieces: list[Piece]) -> None:
    """Mark where tuplets begin and end: a group is full when it holds its number of units."""
    group: list[Piece] = []
    for piece in pieces:
        if piece.value is _GRACE:
            continue
        if group and piece.value.tuplet != group[0].value.tuplet:
            _close(group)
            group = []
        if piece.value.tuplet is None:
            continue
        group.append(piece)
        units = sum(_nominal(p) for p in group) / min(TYPES[p.value.type] for p in group)
        count = units / piece.value.tuplet.actual
        if count.denominator == 1 and count.numerator & (count.numerator - 1) == 0:
            _close(group)
            group = []
    if group:
        _close(group)


def _nominal(piece: Piece) -> Fraction:
    return TYPES[piece.value.type] * (2 - Fraction(1, 2**piece.value.dots))


def _close(group: list[Piece]) -> None:
    unit = min((piece.value.type for piece in group), key=TYPES.__getitem__)
    for piece in group:
        piece.unit = unit
    group[0].brackets += ("start",)
    group[-1].brackets += ("stop",)


def _beam(pieces: list[Piece], before: Quarters, bar: Bar) -> None:
    """Beam the notes that share a beat; rests and unflagged notes break a beam, grace notes do not."""
    starts = beats(bar.time)

    def beat(piece: Piece) -> object:
        flagged = piece.value.type in FLAGS and piece.event is not None and bar.events[piece.event].notes
        passed, within = divmod(before + piece.onset, bar.time.length)
        number = sum(start <= within for start in starts)
        return (passed, number) if flagged else None

    timed = [piece for piece in pieces if piece.value is not _GRACE]
    for key, group in groupby(timed, beat):
        beamed = list(group)
        if key is not None and len(beamed) > 1:
            _beam_group(beamed)


def _beam_group(group: list[Piece]) -> None:
    words = beam_words([piece.value.type for piece in group])
    for piece, beams in zip(group, words, strict=True):
        piece.beams = beams


def beam_words(types: Sequence[str]) -> list[tuple[str, ...]]:
    """What the beams of each note say, level by level, for notes of these types under one beam."""
    flags = [FLAGS[name] for name in types]
    neighbours = zip((0, *flags), flags, (*flags[1:], 0), strict=False)
    return [
        tuple(_beam_word(level, before, after) for level in range(1, min(own, _MOST_BEAMS) + 1))
        for before, own, after in neighbours
    ]


def _beam_word(level: int, before: int, after: int) -> str:
    if before >= level and after >= level:
        return "continue"
    if before >= level:
        return "end"
    if after >= level:
        return "begin"
    return "backward hook" if before else "forward hook"
