"""The notes of a part as evidence for forms: where the fingers are, when, over which chord."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from tabtools.forms.neck import Stringing
from tabtools.forms.table import RICH
from tabtools.record import NamedTuple
from tabtools.score import ZERO, Bar, Event, Harmony, Note, Part, Quarters
from tabtools.theory.chord import Chord, parse_chord
from tabtools.timeline import Moment, NoteIndex, Sound, moments

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
    ``raised`` the semitones that the note sounds above it, and ``midi`` what sounds in the end; ``end`` is
    when, in quarter notes from the start of the part. ``steps`` counts the sides, 0 to 2, on which the line
    moves by a step to or from it.
    """

    bar: Bar
    event: Event
    note: Note
    string: int
    retuned: int
    fret: int
    raised: int
    midi: int
    end: Quarters
    where: NoteIndex
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


def strokes(part: Part, neck: Stringing) -> tuple[Stroke, ...]:
    """The strokes of a part in order of time. Left out is what has no place on the neck or no pitch, and
    what is held on from before."""
    result: list[Stroke] = []
    end = ZERO
    chord: Chord | None = None
    section: int | None = None
    on_neck = [(moment, found) for moment in moments(part) if (found := _tones(moment, neck))]
    for (moment, _), tones in zip(on_neck, _connected([found for _, found in on_neck]), strict=True):
        bar, before = moment.bar, chord
        chord = _told(moment.harmony)
        starts = bar.section is not None and bar.number != section
        section = bar.number if starts else section
        breaks = starts or (bool(result) and moment.start - end >= bar.time.length)
        result.append(_stroke(moment.start, tones, chord, breaks, bool(result) and chord != before))
        end = max(end, *(tone.end for tone in tones))
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


def _tones(moment: Moment, neck: Stringing) -> list[Tone]:
    """The notes of a moment that lie on the neck, from the last string to string 1."""
    found = [tone for sound in moment.struck if (tone := _tone(moment.bar, sound, neck))]
    found.sort(key=lambda tone: -tone.string)
    return found


def _tone(bar: Bar, sound: Sound, neck: Stringing) -> Tone | None:
    note = sound.note
    string, fret = note.string, note.fret
    if string is None or fret is None or note.pitch is None or note.tied or note.has("dead"):
        return None
    if string > len(neck.lines) or not 0 <= fret <= neck.frets:
        return None
    raised = _raised(note, fret) if note.techniques else 0
    midi = note.pitch.midi + raised
    line, retuned = neck.line(string), neck.retuned(string)
    return Tone(bar, sound.event, note, line, retuned, fret, raised, midi, sound.end, sound.where)


def _raised(note: Note, fret: int) -> int:
    """Semitones from the fret to what sounds; bends by fractions count as far as their whole semitones."""
    if note.has("harmonic"):
        return _HARMONICS.get(fret, fret) - fret
    for technique in note.techniques:
        if technique.name in _BENT and technique.value is not None:
            return int(technique.value // 1)
    return 0


def _told(harmony: Harmony | None) -> Chord | None:
    """The chord of a symbol; one that no one can read, and N.C., is no evidence."""
    chord = parse_chord(harmony.symbol) if harmony else None
    return chord if chord and chord.quality.degrees else None


def _connected(strokes: list[list[Tone]]) -> Iterator[tuple[Tone, ...]]:
    """The same tones with their steps counted, against the whole run on both sides."""
    for index, tones in enumerate(strokes):
        sides = [strokes[i] for i in (index - 1, index + 1) if 0 <= i < len(strokes)]
        for tone in tones:
            tone.steps = sum(_near(tone, side) for side in sides)
        yield tuple(tones)


def _near(tone: Tone, others: Sequence[Tone]) -> bool:
    return any(1 <= abs(tone.midi - other.midi) <= STEP for other in others)


def moves(before: Stroke, after: Stroke) -> bool:
    """Whether a string of one stroke sounds again in the next, at another fret."""
    frets = {tone.string: tone.fret for tone in before.tones}
    return any(frets.get(tone.string, tone.fret) != tone.fret for tone in after.tones)
