"""What is played when, for the page's player: every note with its time, pitch and way of playing."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

from tabtools.midi.bending import curve
from tabtools.midi.performance import Tone, feels_of, felt, heard_midi
from tabtools.playing import played
from tabtools.record import NamedTuple
from tabtools.score import ZERO, Feel, Note, Part, Quarters, Score
from tabtools.theory.duration import beats
from tabtools.timeline import Moment, Sound, moments

_USUAL_TEMPO = Fraction(90)  # quarter notes a minute where the lesson names no tempo
_GRACE = Fraction(1, 8)  # quarter notes of a grace note, taken from the time before its note
_SIGNS = {"palm-mute": "m", "vibrato": "v", "harmonic": "h", "artificial": "h", "pinch": "h", "ghost": "g"}
_JOINED = ("hammer", "pull", "slide", "tap")


class _Heard(NamedTuple):
    """A struck note with what comes after it on its string."""

    sound: Sound
    moment: Moment
    following: Note | None


def sound_of(score: Score) -> list[dict[str, Any]]:
    """The score as plain data: for each part its bars, their order with repeats, and its notes.

    A bar is [length, tempo, beats]: quarter notes, quarter notes a minute, and where its beats begin. A note
    is [bar, onset, length, pitch, name, signs] and, where its pitch moves, points of [time, semitones]; the
    bar counts from 0, times are quarter notes from the bar's or the note's start, the pitch is a MIDI number
    or null for a dead note. The name is that of `Column.key`. Signs: m palm mute, v vibrato, h harmonic,
    g ghost, l reached without a new stroke.
    """
    return [_part(part) for part in score.parts]


def _part(part: Part) -> dict[str, Any]:
    starts, feels = part.starts, feels_of(part)
    return {
        "name": part.name,
        "order": [step.bar for step in played(part)],
        "bars": _bars(part),
        "notes": [_note(heard, starts, feels[heard.sound.where.bar]) for heard in _heard(part)],
    }


def _bars(part: Part) -> list[list[Any]]:
    rows: list[list[Any]] = []
    tempo = _USUAL_TEMPO
    for bar in part.bars:
        if bar.tempo is not None:
            tempo = bar.tempo.per_minute * bar.tempo.beat
        starts = [_number(beat) for beat in beats(bar.time) if beat < bar.lasts]
        rows.append([_number(bar.lasts), _number(tempo), starts])
    return rows


def _heard(part: Part) -> list[_Heard]:
    """Every struck note; one that slides on is told to which note."""
    heard: list[_Heard] = []
    last: dict[int, int] = {}
    for moment in moments(part):
        for sound in moment.struck:
            string = sound.note.string
            if string is not None:
                before = last.get(string)
                if before is not None and sound.note.has("slide"):
                    heard[before] = heard[before]._replace(following=sound.note)
                last[string] = len(heard)
            heard.append(_Heard(sound, moment, None))
    return heard


def _note(heard: _Heard, starts: tuple[Quarters, ...], feel: Feel | None) -> list[Any]:
    sound, moment, following = heard
    note, where = sound.note, sound.where
    midi = heard_midi(note, moment.instrument)
    begins = sound.start - starts[where.bar]
    onset = felt(begins, feel) - (_GRACE if moment.grace else ZERO)
    length = max(felt(begins + sound.stops - sound.start, feel) - felt(begins, feel), _GRACE)
    signs = "".join(dict.fromkeys(sign for name, sign in _SIGNS.items() if note.has(name)))
    row: list[Any] = [
        where.bar,
        _number(onset),
        _number(length),
        midi,
        f"{where.bar}.{where.event}.{where.note}",
    ]
    row.append(signs + ("l" if note.has(*_JOINED) else ""))
    if midi is not None:
        tone = Tone(ZERO, length, midi, 90, note, following)
        points = [[_number(point.time), _number(point.semitones)] for point in curve(tone)]
        row += [points] if points else []
    return row


def _number(value: Fraction) -> int | float:
    """A number that JSON can hold, to a ten-thousandth."""
    return int(value) if value.denominator == 1 else round(float(value), 4)
