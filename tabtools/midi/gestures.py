"""What the pitch wheel and the modulation wheel say of a note: bends, slides and vibrato."""

from __future__ import annotations

import itertools
from fractions import Fraction

from tabtools.midi.ticks import RawNote, RawTrack
from tabtools.record import NamedTuple
from tabtools.score import Technique

_STILL = 0.2  # semitones
_WIDEST_BEND = 4.5  # semitones
_NEAR = Fraction(1, 16)  # quarter notes between the end of a slide and the note that it leads to


class Gestures(NamedTuple):
    """The techniques of each note of a track, and of how many notes the wheel could not be read."""

    techniques: tuple[tuple[Technique, ...], ...]
    unread: int


def gestures(track: RawTrack, resolution: int) -> Gestures:
    """What the wheels say of the notes of a track, which has ``resolution`` ticks a quarter note."""
    marks: list[list[Technique]] = [[Technique("vibrato")] if note.is_vibrato else [] for note in track.notes]
    unread = 0
    following = _following(track)
    for number, note in enumerate(track.notes):
        if not note.wheel:
            continue
        after = following.get(number)
        if after is not None and _slides_to(note, track.notes[after], resolution):
            marks[after].append(Technique("slide"))
            continue
        technique = _technique(note)
        if technique is None:
            unread += 1
        else:
            marks[number].append(technique)
    return Gestures(tuple(map(tuple, marks)), unread)


def _following(track: RawTrack) -> dict[int, int]:
    """The next note on the channel of each note."""
    last: dict[int, int] = {}
    following: dict[int, int] = {}
    for number, note in enumerate(track.notes):
        if note.channel in last:
            following[last[note.channel]] = number
        last[note.channel] = number
    return following


def _slides_to(note: RawNote, after: RawNote, resolution: int) -> bool:
    """Whether the pitch moves towards the next note and ends a step before it at the most."""
    if abs(after.start - note.end) > resolution * _NEAR or after.midi == note.midi:
        return False
    if after.wheel and abs(after.wheel[0].semitones) > _STILL:
        return False
    distance = after.midi - note.midi
    final = note.wheel[-1].semitones
    return final * distance > 0 and abs(distance - final) <= max(1.0, abs(distance) / 4)


def _technique(note: RawNote) -> Technique | None:
    heights = [point.semitones for point in note.wheel]
    first, highest, last = heights[0], max(heights), heights[-1]
    size = Fraction(round(highest * 4), 4)  # bends come in quarter tones and more
    if min(heights) < -_STILL:
        if first < -_STILL and abs(last) < _STILL and highest < _STILL:
            return Technique("slide-in")
        if abs(first) < _STILL and last < -_STILL and highest < _STILL:
            return Technique("slide-out", falling=True)
        return None
    if not _STILL <= highest <= _WIDEST_BEND or _turns(heights) > 2:
        return None
    if first > _STILL:
        return Technique("prebend-release" if last < _STILL else "prebend", size)
    return Technique("bend-release" if last < _STILL else "bend", size)


def _turns(heights: list[float]) -> int:
    """How many times the pitch changes its direction, plus one."""
    moves = [b - a for a, b in itertools.pairwise(heights) if abs(b - a) > _STILL / 4]
    return 1 + sum(a * b < 0 for a, b in itertools.pairwise(moves))
