"""The chord symbols of a score, each with the notes that are struck while it is in force."""

from __future__ import annotations

from tabtools.instrument import above_shapes
from tabtools.record import NamedTuple
from tabtools.score import Bar, Event, Harmony, Key, Note, Part, Score
from tabtools.theory.chord import Chord, parse_chord
from tabtools.theory.inference import heard
from tabtools.timeline import chords_in_force


class Struck(NamedTuple):
    """Notes struck at one moment: their bar, events and MIDI numbers, the lowest first."""

    bar: Bar
    events: tuple[Event, ...]
    midis: tuple[int, ...]


class Stretch(NamedTuple):
    """A chord symbol and what is struck under it; ``chord`` is None where the symbol is not understood.

    ``bar`` is the one that the symbol stands in. The symbol may name the sound or the shape, which sounds
    ``above`` semitones above its name.
    """

    harmony: Harmony
    chord: Chord | None
    bar: Bar
    key: Key | None
    above: int
    struck: tuple[Struck, ...]


def chord_stretches(score: Score) -> tuple[Stretch, ...]:
    """Every chord symbol of every part, in order, with the notes up to the next symbol."""
    return tuple(stretch for part in score.parts for stretch in _of_part(part))


def notes_with_chords(score: Score) -> tuple[tuple[Bar, Event, Note, Chord | None], ...]:
    """Every note in order, with the chord in force at its onset; None where none is known."""
    return tuple(
        (bar, event, note, parse_chord(harmony.symbol) if harmony else None)
        for part in score.parts
        for bar, harmonies in zip(part.bars, chords_in_force(part), strict=True)
        for event, harmony in zip(bar.events, harmonies, strict=True)
        for note in event.notes
    )


def _of_part(part: Part) -> list[Stretch]:
    found: list[Stretch] = []
    struck: list[Struck] = []
    for bar in part.bars:
        harmonies = list(bar.harmonies)
        for moment in _moments(bar):
            while harmonies and harmonies[0].onset <= moment.events[0].onset:
                _close(found, struck)
                found.append(_open(harmonies.pop(0), bar, part))
            struck.append(moment)
        for harmony in harmonies:
            _close(found, struck)
            found.append(_open(harmony, bar, part))
    _close(found, struck)
    return found


def _open(harmony: Harmony, bar: Bar, part: Part) -> Stretch:
    chord = parse_chord(harmony.symbol)
    return Stretch(harmony, chord, bar, bar.key, above_shapes(part.instrument), ())


def _close(found: list[Stretch], struck: list[Struck]) -> None:
    """Give the last stretch its notes; those before the first symbol belong to none."""
    if found:
        last = found[-1]
        found[-1] = Stretch(last.harmony, last.chord, last.bar, last.key, last.above, tuple(struck))
    struck.clear()


def _moments(bar: Bar) -> list[Struck]:
    """The bar's notes by onset, grace notes left out."""
    at: dict[object, list[Event]] = {}
    for event in bar.events:
        if event.notes and not event.grace:
            at.setdefault(event.onset, []).append(event)
    moments = []
    for events in at.values():
        midis = [heard(note) for event in events for note in event.notes]
        known = tuple(sorted(midi for midi in midis if midi is not None))
        if known:
            moments.append(Struck(bar, tuple(events), known))
    return moments
