"""The forms of a chord nearest to the hand, and the way through a progression that moves it least."""

from __future__ import annotations

from collections.abc import Sequence

from tabtools.fingering.hand import grips
from tabtools.forms.neck import neck
from tabtools.forms.places import PlacedGrip, chord_grips, quality_of
from tabtools.forms.position import hand_place
from tabtools.forms.table import FORMS, quality
from tabtools.record import NamedTuple
from tabtools.score import Instrument
from tabtools.theory.chord import Chord


class NearForm(NamedTuple):
    """A form of a chord: where it lies, and how far its anchor fret is from where the hand was.

    ``position`` is the fret of the first finger, 0 for the open position. ``frets`` and ``fingers`` are by
    string, last string first, None for a string that is not played or needs no finger; ``fingers`` is None
    where no hand holds the grip. Fingers are those of the least effort: a teacher may choose others.
    ``barre_fret`` is where one of them lies across strings, None where none does. ``exact`` is false where
    the chord holds more than the form.
    """

    symbol: str
    form: str
    quality: str
    anchor_fret: int
    frets: tuple[int | None, ...]
    fingers: tuple[int | None, ...] | None
    distance: int
    exact: bool
    position: int
    barre_fret: int | None


def nearest(instrument: Instrument, chord: Chord, at: int) -> tuple[NearForm, ...]:
    """The five forms of a chord, each where it is nearest to a fret, the nearest form first.

    Ties go to the order of preference, then to the lower fret. Frets count from the capo, the chord is the
    one that sounds. Raises ValueError for a chord without forms.
    """
    best: dict[str, PlacedGrip] = {}
    for found in chord_grips(neck(instrument), chord):
        form = found.grip.form
        if form not in best or abs(found.anchor - at) < abs(best[form].anchor - at):
            best[form] = found
    order = sorted(best.values(), key=lambda g: (abs(g.anchor - at), FORMS.index(g.grip.form)))
    return tuple(_near(instrument, chord, found, abs(found.anchor - at)) for found in order)


def path(instrument: Instrument, chords: Sequence[Chord], at: int) -> tuple[NearForm, ...]:
    """A form for each chord, so that the anchor frets move least in all, beginning from a fret.

    Ties go to the smaller single moves first, then to the order of preference. Raises ValueError for a
    chord without forms.
    """
    ways: list[tuple[int, tuple[PlacedGrip, ...]]] = [(0, ())]
    for chord in chords:
        grips = tuple(chord_grips(neck(instrument), chord))
        ways = [
            min(
                ((total + _move(way, grip, at), (*way, grip)) for total, way in ways),
                key=lambda candidate: (candidate[0], _order(candidate[1], at)),
            )
            for grip in grips
        ]
    _, best = min(ways, key=lambda candidate: (candidate[0], _order(candidate[1], at)))
    return tuple(
        _near(instrument, chord, grip, _move(best[:index], grip, at))
        for index, (chord, grip) in enumerate(zip(chords, best, strict=True))
    )


def _move(way: Sequence[PlacedGrip], grip: PlacedGrip, at: int) -> int:
    return abs(grip.anchor - (way[-1].anchor if way else at))


def _order(way: Sequence[PlacedGrip], at: int) -> tuple[int, list[tuple[int, int]]]:
    moves = [_move(way[:index], grip, at) for index, grip in enumerate(way)]
    return sum(move * move for move in moves), [(FORMS.index(g.grip.form), g.anchor) for g in way]


def _near(instrument: Instrument, chord: Chord, found: PlacedGrip, distance: int) -> NearForm:
    strings = range(len(instrument.tuning), 0, -1)
    frets = {string: fret for string, fret, _ in found.notes}
    held = next(iter(grips(instrument, frets.items())), None)
    of: dict[int, int] = {}
    across: list[int] = []
    if held is not None and not held.excess:
        of = {string: press.finger for press in held.presses for string in press.strings}
        across = [press.fret for press in held.presses if len(press.strings) > 1]
    fingers = tuple(of.get(string) for string in strings) if of or not any(frets.values()) else None
    name = quality_of(chord)
    exact = set(quality(name).semitones) == set(chord.quality.semitones)
    return NearForm(
        chord.text,
        found.grip.form,
        name,
        found.anchor,
        tuple(frets.get(string) for string in strings),
        fingers,
        distance,
        exact,
        hand_place([(fret, str(of.get(string, 0))) for string, fret in frets.items()]).fret,
        min(across, default=None),
    )
