"""Why a bar can't move, with the nearest that can."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tabtools.phrases.goals import Goals, indexed
from tabtools.phrases.places import Window, places
from tabtools.phrases.wish import Wish
from tabtools.score import Instrument, Note, Part, Pitch
from tabtools.theory.spelling import spell
from tabtools.timeline import NoteIndex

_FARTHEST = 12
_WAYS = sorted(range(-_FARTHEST, _FARTHEST + 1), key=lambda by: (abs(by), by))
_SPAN = 4


def nowhere(
    part: Part, wish: Wish, instrument: Instrument, aims: Goals, missing: Sequence[NoteIndex]
) -> Iterator[tuple[int, str]]:
    """For each bar with a note that has no place: its number, the first such note with the reason, and the
    nearest move that has a place for all notes of the bar."""
    notes = dict(indexed(part))
    for number in sorted({at.bar for at in missing}):
        first = next(at for at in missing if at.bar == number)
        inside = [(notes[at], goal.midi) for at, goal in aims.items() if at.bar == number]
        message = _reason(notes[first], aims[first].midi, aims[first].window, part, instrument)
        yield part.bars[number].number, f"{message}; {_nearest(wish, instrument, inside)}"


def no_hand(part: Part, wish: Wish, bars: Sequence[int]) -> Iterator[tuple[int, str]]:
    """For each bar that no hand can hold after the move, its number and what to do."""
    for number in bars:
        yield (
            part.bars[number].number,
            f"a {wish.hand} hand can't play these notes there, joined as they are: move it elsewhere",
        )


def _reason(note: Note, midi: int, window: Window | None, part: Part, instrument: Instrument) -> str:
    key = next((bar.key for bar in part.bars if bar.key), None)
    name = spell(midi, key).name
    if window is not None and places(note, midi, instrument):
        return f"{name} is not at frets {window.low} to {window.high} of any string"
    if places(note._replace(techniques=()), midi, instrument):
        return f"{name} can't be played {_how(note)} anywhere"
    low, high = _range(instrument)
    return f"{name} lies off the neck, which goes from {low.name} to {high.name}"


def _how(note: Note) -> str:
    if note.has("harmonic"):
        return f"as the natural harmonic at fret {note.fret} of a string"
    names = ", ".join(technique.name for technique in note.techniques)
    return f"with {names} on a fretted string"


def _range(instrument: Instrument) -> tuple[Pitch, Pitch]:
    lows = [instrument.midi(string, 0) for string in range(1, len(instrument.tuning) + 1)]
    return spell(min(lows), None), spell(max(lows) + instrument.frets - instrument.capo, None)


def _nearest(wish: Wish, instrument: Instrument, inside: Sequence[tuple[Note, int]]) -> str:
    if wish.position is not None:
        able = [
            position
            for position in range(1, instrument.frets)
            if all(
                places(n, m, instrument, Window(max(position - 1, 1), position + _SPAN)) for n, m in inside
            )
        ]
        able.sort(key=lambda position: abs(position - (wish.position or 0)))
        return (
            f"the nearest position with all notes of the bar is {able[0]}" if able else "no position has all"
        )
    if wish.form:
        return "no octave of it lies within that form's reach: try another form"
    able = [by for by in _WAYS if all(places(n, m + by, instrument) for n, m in inside)]
    if not able:
        return "no other pitch within an octave has a place for all notes of the bar"
    by = able[0] + wish.interval.semitones
    return f"the nearest move that has a place for all notes of the bar is by {by:+d} semitones"
