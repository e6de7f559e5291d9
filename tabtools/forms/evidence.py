"""The notes of a part as evidence for forms: where the fingers are, when, over which chord."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tabtools.forms.neck import Neck
from tabtools.forms.table import RICH
from tabtools.record import NamedTuple
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


@dataclass(slots=True)
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


class Stroke(NamedTuple):
    """Notes that begin together, in order of the strings from the last to string 1.

    ``onset`` counts quarter notes from the start of the part. ``breaks`` is true where nothing may reach
    across from the stroke before; ``slides`` where a note is reached by a slide; ``turns`` where another
    chord symbol is in force than at the stroke before. ``shape`` counts its frets from ``base``, which is
    its lowest fret, or 0 with open strings; ``single`` is its string where it has but one, else 0. ``rich``
    tells whether forms of the rich qualities may be meant.
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
    rich: bool


def strokes(part: Part, neck: Neck) -> tuple[Stroke, ...]:
    """The strokes of a part in order of time. Left out is what has no place on the neck or no pitch, and
    what is held on from before."""
    moments = _moments(part, neck)
    chords = _chords(part)
    result: list[Stroke] = []
    end, at = ZERO, 0
    chord: Chord | None = None
    section: int | None = None
    for (onset, length, _), tones in zip(moments, _connected([m[2] for m in moments]), strict=True):
        bar, before = tones[0].bar, chord
        while at < len(chords) and chords[at][0] <= onset:
            chord, at = chords[at][1], at + 1
        starts = bar.section is not None and bar.number != section
        section = bar.number if starts else section
        breaks = starts or (bool(result) and onset - end >= bar.time.length)
        result.append(_stroke(onset, tones, chord, breaks, bool(result) and chord != before))
        end = max(end, onset + length)
    return tuple(result)


def _stroke(
    onset: Quarters, tones: tuple[Tone, ...], chord: Chord | None, breaks: bool, turns: bool
) -> Stroke:
    base = min(tone.fret for tone in tones)
    shape = tuple(tone.shape(base) for tone in tones)
    single = tones[0].string if len({tone.string for tone in tones}) == 1 else 0
    slides = any(tone.note.has("slide") for tone in tones)
    rich = len(tones) > 3 or (chord is not None and chord.quality.suffix in RICH)
    return Stroke(onset, tones, chord, breaks, slides, turns, base, shape, single, rich)


# Onset from the start of the part, length of the longest note, and the notes.
_Moment = tuple[Quarters, Quarters, list[Tone]]


def _moments(part: Part, neck: Neck) -> list[_Moment]:
    """The notes that begin together; grace notes are a moment of their own before what they lead to."""
    found: list[_Moment] = []
    for start, bar in zip(part.starts, part.bars, strict=True):
        together: list[_Moment] = []
        order = sorted(bar.events, key=lambda event: (event.onset, not event.grace))
        for event, before in zip(order, [None, *order], strict=False):
            tones = [tone for note in event.notes if (tone := _tone(bar, event, note, neck))]
            same = before and before.onset == event.onset and before.grace == event.grace
            if together and same and not event.grace:
                onset, length, others = together[-1]
                if onset == start + event.onset:
                    together[-1] = onset, max(length, event.duration), others + tones
                    continue
            if tones:
                together.append((start + event.onset, event.duration, tones))
        found += together
    for _, _, tones in found:
        tones.sort(key=lambda tone: -tone.string)
    return found


def _tone(bar: Bar, event: Event, note: Note, neck: Neck) -> Tone | None:
    string, fret = note.string, note.fret
    if string is None or fret is None or note.pitch is None or note.tied or note.has("dead"):
        return None
    if string > len(neck.lines) or not 0 <= fret <= neck.frets:
        return None
    raised = _raised(note, fret) if note.techniques else 0
    midi = note.pitch.midi + raised
    return Tone(bar, event, note, neck.line(string), neck.retuned(string), fret, raised, midi)


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
    found = []
    for start, bar in zip(part.starts, part.bars, strict=True):
        for harmony in bar.harmonies:
            chord = parse_chord(harmony.symbol)
            known = chord is not None and chord.quality.degrees
            found.append((start + harmony.onset, chord if known else None))
    return sorted(found, key=lambda item: item[0])


def _connected(moments: list[list[Tone]]) -> Iterator[tuple[Tone, ...]]:
    """The same tones with their steps counted, against the whole run on both sides."""
    for index, tones in enumerate(moments):
        sides = [moments[i] for i in (index - 1, index + 1) if 0 <= i < len(moments)]
        for tone in tones:
            tone.steps = sum(_near(tone, side) for side in sides)
        yield tuple(tones)


def _near(tone: Tone, others: Sequence[Tone]) -> bool:
    return any(1 <= abs(tone.midi - other.midi) <= STEP for other in others)


def moves(before: Stroke, after: Stroke) -> bool:
    """Whether a string of one stroke sounds again in the next, at another fret."""
    frets = {tone.string: tone.fret for tone in before.tones}
    return any(frets.get(tone.string, tone.fret) != tone.fret for tone in after.tones)
