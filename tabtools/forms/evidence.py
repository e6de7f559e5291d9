"""The notes of a part as evidence for forms: where the fingers are, when, over which chord."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby
from typing import NamedTuple

from tabtools.forms.neck import Neck
from tabtools.score import ZERO, Bar, Event, Note, Part, Quarters
from tabtools.theory.chord import Chord, parse_chord

# Bends after which the note stays up; after a release it is back at its fret.
_BENT = ("bend", "prebend")
# Where a natural harmonic sounds another note than the fret under it: semitones above the open string.
_HARMONICS = {3: 7, 4: 4, 5: 0, 9: 4, 16: 4, 24: 0}
STEP = 2  # semitones


class Shape(NamedTuple):
    """What of a note decides its cost: string of the form table and how it is retuned, fret above a base,
    whether it is open, by how much it is raised, and its steps."""

    string: int
    retuned: int
    fret: int
    is_open: bool
    raised: int
    steps: int


@dataclass(frozen=True, slots=True)
class Tone:
    """One note on the neck.

    ``string`` is that of the form table and ``retuned`` its offset; ``fret`` is where the finger is,
    ``raised`` the semitones that the note sounds above it, and ``midi`` what sounds in the end. ``steps``
    counts the sides, 0 to 2, on which the line moves by a step to or from it.
    """

    bar: Bar
    event: Event
    note: Note
    string: int
    retuned: int
    fret: int
    raised: int
    midi: int
    steps: int = 0

    def shape(self, base: int) -> Shape:
        """The note as seen from a fret."""
        return Shape(self.string, self.retuned, self.fret - base, not self.fret, self.raised, self.steps)


@dataclass(frozen=True, slots=True)
class Stroke:
    """Notes that begin together, in order of the strings from the last to string 1.

    ``onset`` counts quarter notes from the start of the part. ``breaks`` is true where nothing may reach
    across from the stroke before; ``slides`` where a note is reached by a slide; ``turns`` where another
    chord symbol is in force than at the stroke before. ``shape`` counts its frets from ``base``, which is
    its lowest fret, or 0 with open strings; ``single`` is its string where it has but one, else 0.
    """

    onset: Quarters
    tones: tuple[Tone, ...]
    chord: Chord | None
    breaks: bool
    slides: bool
    turns: bool
    base: int
    shape: tuple[Shape, ...]
    single: int


def strokes(part: Part, neck: Neck) -> tuple[Stroke, ...]:
    """The strokes of a part in order of time. Left out is what has no place on the neck or no pitch, and
    what is held on from before."""
    found = _timed(part, neck)
    chords = _chords(part)
    moments = [list(group) for _, group in groupby(found, key=lambda item: item[:2])]
    lines = _connected([[tone for *_, tone in moment] for moment in moments])
    result: list[Stroke] = []
    end, at, chord, section = ZERO, 0, None, None
    for moment, tones in zip(moments, lines, strict=True):
        onset, bar = moment[0][0], tones[0].bar
        before = chord
        while at < len(chords) and chords[at][0] <= onset:
            chord, at = chords[at][1], at + 1
        rest = bool(result) and onset - end >= bar.time.length
        starts = bar.section is not None and bar.number != section
        section = bar.number if starts else section
        slides = any(tone.note.has("slide") for tone in tones)
        turns = bool(result) and chord != before
        base = min(tone.fret for tone in tones)
        shape = tuple(tone.shape(base) for tone in tones)
        single = tones[0].string if len({tone.string for tone in tones}) == 1 else 0
        result.append(Stroke(onset, tones, chord, rest or starts, slides, turns, base, shape, single))
        end = max(end, *(onset + tone.event.duration for tone in tones))
    return tuple(result)


def _timed(part: Part, neck: Neck) -> list[tuple[Quarters, int, Tone]]:
    """Every tone with its time; grace notes come before what they lead to."""
    found, now = [], ZERO
    for bar in part.bars:
        for event in bar.events:
            for note in event.notes:
                tone = _tone(bar, event, note, neck)
                if tone is not None:
                    found.append((now + event.onset, -1 if event.grace else 0, tone))
        now += bar.length if bar.pickup else max(bar.length, bar.time.length)
    return sorted(found, key=lambda item: (item[0], item[1], -item[2].string))


def _tone(bar: Bar, event: Event, note: Note, neck: Neck) -> Tone | None:
    string, fret = note.string, note.fret
    if string is None or fret is None or note.pitch is None or note.tied or note.has("dead"):
        return None
    if string > len(neck.lines) or not 0 <= fret <= neck.frets:
        return None
    raised = _raised(note, fret)
    return Tone(
        bar,
        event,
        note,
        neck.line(string),
        neck.retuned(string),
        fret,
        raised,
        note.pitch.midi + raised,
    )


def _raised(note: Note, fret: int) -> int:
    """Semitones from the fret to what sounds; bends by fractions count as far as their whole semitones."""
    if note.has("harmonic"):
        return _HARMONICS.get(fret, fret) - fret
    for technique in note.techniques:
        if technique.name in _BENT and technique.value is not None:
            return int(technique.value // 1)
    return 0


def _chords(part: Part) -> list[tuple[Quarters, Chord | None]]:
    """When each chord symbol comes into force; those that no one can read, and N.C., are no evidence."""
    found, now = [], ZERO
    for bar in part.bars:
        for harmony in bar.harmonies:
            chord = parse_chord(harmony.symbol)
            known = chord is not None and chord.quality.degrees
            found.append((now + harmony.onset, chord if known else None))
        now += bar.length if bar.pickup else max(bar.length, bar.time.length)
    return sorted(found, key=lambda item: item[0])


def _connected(moments: list[list[Tone]]) -> Iterator[tuple[Tone, ...]]:
    """The same tones with their steps counted, against the whole run on both sides."""
    for index, tones in enumerate(moments):
        sides = [moments[i] for i in (index - 1, index + 1) if 0 <= i < len(moments)]
        yield tuple(replace(tone, steps=sum(_near(tone, side) for side in sides)) for tone in tones)


def _near(tone: Tone, others: Sequence[Tone]) -> bool:
    return any(1 <= abs(tone.midi - other.midi) <= STEP for other in others)


def moves(before: Stroke, after: Stroke) -> bool:
    """Whether a string of one stroke sounds again in the next, at another fret."""
    frets = {tone.string: tone.fret for tone in before.tones}
    return any(frets.get(tone.string, tone.fret) != tone.fret for tone in after.tones)
