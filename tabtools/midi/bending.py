"""How the pitch of a performed note moves: bends, releases, slides and trills as curves in semitones."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from tabtools.midi.performance import Tone
from tabtools.record import NamedTuple
from tabtools.score import ZERO, Note, Quarters, Technique

# Semitones that a pitch wheel is told to reach, both ways: a slide of an octave fits.
RANGE = 12
USUAL_BEND = Fraction(2)  # semitones of a bend without a size. Common practice, no source
_STEPS = 8  # points of a movement
_LONGEST_RISE = Fraction(1, 2)  # quarter notes that a bend, a release or a slide takes at the most
_SLIDE_FROM = Fraction(2)  # frets of a slide from or to nowhere
_TRILL = Fraction(1, 8)  # quarter notes of each note of a trill


class Point(NamedTuple):
    """From ``time`` on, in quarter notes of the performance, the note sounds ``semitones`` above itself."""

    time: Quarters
    semitones: Fraction


def curve(tone: Tone) -> tuple[Point, ...]:
    """The points of a note's pitch in order of time, from its start; empty where the pitch stays."""
    points = [point for technique in tone.note.techniques for point in _moves(technique, tone)]
    if tone.following is not None:
        points += _slide_on(tone, tone.following)
    if not points:
        return ()
    points.sort(key=lambda point: point.time)
    return tuple(points if points[0].time == tone.start else [Point(tone.start, ZERO), *points])


def _moves(technique: Technique, tone: Tone) -> Iterator[Point]:
    length = tone.end - tone.start
    rise = min(length / 2, _LONGEST_RISE)
    size = USUAL_BEND if technique.value is None else technique.value
    slide = _SLIDE_FROM * (1 if technique.falling else -1)
    match technique.name:
        case "bend":
            yield from _line(tone.start, rise, ZERO, size)
        case "prebend":
            yield Point(tone.start, size)
        case "bend-release":
            yield from _line(tone.start, min(length / 3, rise), ZERO, size)
            yield from _line(tone.start + length / 2, min(length / 3, rise), size, ZERO)
        case "prebend-release":
            yield Point(tone.start, size)
            yield from _line(tone.start + length / 3, min(length / 3, rise), size, ZERO)
        case "slide-in":
            yield from _line(tone.start, min(length / 4, rise), slide, ZERO)
        case "slide-out":
            fall = min(length / 3, rise)
            yield from _line(tone.end - fall, fall, ZERO, -slide if not technique.falling else -_SLIDE_FROM)
        case "trill":
            yield from _trill(technique, tone)


def _line(start: Quarters, length: Quarters, low: Fraction, high: Fraction) -> Iterator[Point]:
    """A straight movement from one height to another."""
    for step in range(_STEPS + 1):
        share = Fraction(step, _STEPS)
        yield Point(start + length * share, low + (high - low) * share)


def _slide_on(tone: Tone, following: Note) -> Iterator[Point]:
    """The end of a note that slides to the next one on its string."""
    if tone.note.pitch is None or following.pitch is None:
        return
    distance = Fraction(following.pitch.midi - tone.note.pitch.midi)
    if abs(distance) > RANGE:
        return
    length = min((tone.end - tone.start) / 3, _LONGEST_RISE)
    for step in range(_STEPS):  # the next note begins where the movement ends
        share = Fraction(step, _STEPS)
        # Frets are passed one by one.
        yield Point(tone.end - length * (1 - share), Fraction(round(distance * share)))


def _trill(technique: Technique, tone: Tone) -> Iterator[Point]:
    if technique.value is None or tone.note.fret is None:
        return
    other_note = technique.value - tone.note.fret
    if abs(other_note) > RANGE:
        return
    time, is_up = tone.start, False
    while time < tone.end:
        yield Point(time, other_note if is_up else ZERO)
        time, is_up = time + _TRILL, not is_up
