"""Which notes of a melody need a word, and which a warning: a note against key and chord of the moment.

The tests are those of common practice: chord, pentatonic, key, minor's movable degrees, blue notes,
anticipation, chromatic passing and neighbour notes, approach. The first that fits decides.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from functools import cached_property, lru_cache
from itertools import pairwise

from tabtools.record import NamedTuple
from tabtools.score import Key
from tabtools.theory import chord as chords
from tabtools.theory.chord import Chord
from tabtools.theory.key import pitch_classes as key_pitch_classes
from tabtools.theory.line_of_fifths import (
    degree_at,
    degree_place,
    letter,
    pitch_class,
    place,
    place_of_letter,
)
from tabtools.theory.scale import SCALES
from tabtools.theory.spelling import spell

# Every verdict and how loud it is: nothing to say, worth knowing, or probably a mistake.
LEVELS = {
    "ok": "none",
    "ok-diatonic": "none",
    "colour": "info",
    "colour-chromatic": "info",
    "minor-variable": "info",
    "blue": "info",
    "third-not-given": "info",
    "anticipation": "info",
    "passing": "info",
    "neighbour": "info",
    "approach": "info",
    "outside": "warning",
}

_MINOR_FAMILY = ("minor", "aeolian", "dorian", "phrygian")
_BLUE_DEGREES = {3: "b3", 6: "b5", 10: "b7"}
_LONGEST_RUN = 3


class MelodyNote(NamedTuple):
    """A note to judge, with what is in force at its onset.

    ``onset`` and ``duration`` are in quarter notes, ``onset`` from the start of the piece; ``beat`` is the
    length of a beat. ``midi`` is the note as fretted or held longest, ``bend`` the semitones by which it is
    bent up from there. ``next_chord`` is the one that follows ``chord``, at ``next_onset``. Grace notes and
    dead notes are not to be judged, so leave them out.
    """

    onset: Fraction
    duration: Fraction
    midi: int
    bend: Fraction = Fraction(0)
    on_beat: bool = False
    strong: bool = False
    chord: Chord | None = None
    next_chord: Chord | None = None
    next_onset: Fraction | None = None
    beat: Fraction = Fraction(1)

    @property
    def target(self) -> int:
        """The MIDI number that a bend by whole semitones ends on; the one below for anything between."""
        return self.midi + self.bend // 1 if self.bend else self.midi


class Verdict(NamedTuple):
    """What a note is: a name of LEVELS, the note's own name, and its role and degree.

    ``role`` is that in the chord of the moment (for ``anticipation`` in the next one), ``degree`` that in
    the key, such as ``7`` or ``b6``; None where there is none.
    """

    name: str
    letter: str
    role: str | None
    degree: str | None

    @property
    def level(self) -> str:
        """``none``, ``info`` or ``warning``."""
        return LEVELS[self.name]


class _Frame(NamedTuple):
    """A key's sets of pitch classes, and its tonic as a pitch class; all empty without a key."""

    tonic: int
    notes: frozenset[int] = frozenset()
    pentatonic: frozenset[int] = frozenset()
    movable: frozenset[int] = frozenset()
    blue: frozenset[int] = frozenset()


def pentatonic_name(key: Key) -> str | None:
    """The scale of `tabtools.theory.scale` that is the pentatonic of a key; locrian has none."""
    if key.mode == "locrian":
        return None
    return "minor pentatonic" if key.mode in _MINOR_FAMILY else "major pentatonic"


def judge(
    notes: Sequence[MelodyNote], key: Key | None, *, blues: bool = False, excuse_on_beat: bool = False
) -> list[Verdict | None]:
    """The verdict on each note of a lick, in order; None where neither key nor chord is known.

    The last note of ``notes`` is taken for the end of the lick. ``blues`` declares the part to be blues.
    Passing, neighbour and approach notes are excused off the beat only, unless ``excuse_on_beat``.
    """
    judged = _Lick(notes, key, blues, excuse_on_beat)
    return [judged.verdict(index) for index in range(len(notes))]


class _Lick:
    """The notes with what all of them are judged by."""

    def __init__(
        self, notes: Sequence[MelodyNote], key: Key | None, blues: bool, excuse_on_beat: bool
    ) -> None:
        self.notes = notes
        self.key = key
        self.frame = _frame(key)
        self.blues = blues
        self.excuse_on_beat = excuse_on_beat
        self._known: dict[tuple[str | None, int], Verdict | None] = {}

    @cached_property
    def _lines(self) -> tuple[list[int | None], list[int | None]]:
        return _neighbours(self.notes)

    @property
    def before(self) -> list[int | None]:
        """For each note the one before it in its line."""
        return self._lines[0]

    @property
    def after(self) -> list[int | None]:
        """For each note the one after it in its line."""
        return self._lines[1]

    def verdict(self, index: int) -> Verdict | None:
        """The verdict on a note; one of key or chord is what it is wherever it stands."""
        note = self.notes[index]
        pitch = note.target % 12
        among = note.chord.text if note.chord else None, pitch
        if among in self._known:
            return self._known[among]
        verdict_here = self._verdict(index, note)
        if pitch in self.frame.notes or pitch in _tones(note.chord):
            self._known[among] = verdict_here
        return verdict_here

    def _verdict(self, index: int, note: MelodyNote) -> Verdict | None:
        if self.key is None and not _tones(note.chord):
            return None
        name = self._name(index, note)
        chord = note.next_chord if name == "anticipation" else note.chord
        pitch = note.target % 12
        text = self._letter(name, index, chord)
        degree = None
        if self.key is not None:
            degree = degree_at(place(self.key.step, self.key.alter), place_of_letter(text))
        return Verdict(name, text, chords.role(chord, pitch) if chord else None, degree)

    def _letter(self, name: str, index: int, chord: Chord | None) -> str:
        """The note's name: as the chord spells it, or else the key and where the line goes; thirds and blue
        notes by their degree."""
        note = self.notes[index]
        pitch = note.target % 12
        if name == "blue" and self.key is not None:
            tonic = place(self.key.step, self.key.alter)
            return letter(tonic + degree_place(_BLUE_DEGREES[(pitch - self.frame.tonic) % 12]))
        if name == "third-not-given" and chord is not None:
            root = place(chord.root_step, chord.root_alter)
            return letter(root + degree_place("b3" if (pitch - pitch_class(root)) % 12 == 3 else "3"))
        chord_tone = chords.tone(chord, pitch) if chord else None
        if chord_tone:
            return chord_tone[1]
        then = (
            None if pitch in self.frame.notes else self._step_after(index)
        )  # a note of the key has one name
        return spell(note.target, self.key, then=then).letter

    def _step_after(self, index: int) -> int:
        """The step to the next note where that is a semitone, else 0."""
        after = self.after[index]
        step = 0 if after is None else self.notes[after].target - self.notes[index].target
        return step if abs(step) == 1 else 0

    def _name(self, index: int, note: MelodyNote) -> str:
        pitch = note.target % 12
        frame = self.frame
        if pitch in _tones(note.chord):
            if pitch in frame.pentatonic or self.key is None:
                return "ok"
            return "colour" if pitch in frame.notes else "colour-chromatic"
        if pitch in frame.pentatonic:
            return "ok"
        if pitch in frame.notes:
            return "ok-diatonic"
        if pitch in frame.movable:
            return "minor-variable"
        # A bend by a fraction that starts on the pentatonic, or on a chord tone, is settled by now.
        if pitch in frame.blue and (self.blues or note.bend % 1):
            return "blue"
        if note.chord and note.chord.quality.kind == "power" and _is_third(note.chord, pitch):
            return "third-not-given"
        if _anticipates(note, pitch):
            return "anticipation"
        return self._excuse(index, note) or "outside"

    def _excuse(self, index: int, note: MelodyNote) -> str | None:
        """Passing, neighbour or approach note, where that may excuse this one."""
        if note.on_beat and not self.excuse_on_beat:
            return None
        if self.after[index] is None or (note.strong and note.duration >= note.beat):
            return None
        return self._by_step(index) or self._approach(index, note)

    def _by_step(self, index: int) -> str | None:
        """Passing or neighbour: a short run of outside notes between two notes of key or chord."""
        run = [index]
        for neighbours, end in ((self.before, 0), (self.after, -1)):
            while True:
                following = neighbours[run[end]]
                if following is None or len(run) > _LONGEST_RUN + 2:
                    return None
                run.insert(0 if end == 0 else len(run), following)
                if not self._is_outside(following):
                    break
        pitches = [self.notes[i].target for i in run]
        steps = [b - a for a, b in pairwise(pitches)]
        here = run.index(index)
        if len(run) > _LONGEST_RUN + 2 or any(not 1 <= abs(step) <= 2 for step in steps):
            return None
        if 1 not in (abs(steps[here - 1]), abs(steps[here])):
            return None
        if pitches[0] == pitches[-1]:
            return "neighbour"
        return "passing" if all(step > 0 for step in steps) or all(step < 0 for step in steps) else None

    def _approach(self, index: int, note: MelodyNote) -> str | None:
        """A semitone into a note of key or chord that is no shorter, where a chord is known."""
        following = self.after[index]
        if following is None or not _tones(note.chord) or self._is_outside(following):
            return None
        goal = self.notes[following]
        near = abs(goal.target - note.target) == 1
        return "approach" if near and goal.duration >= note.duration else None

    def _is_outside(self, index: int) -> bool:
        note = self.notes[index]
        return note.target % 12 not in self.frame.notes | _tones(note.chord)


def _tones(chord: Chord | None) -> frozenset[int]:
    return chords.pitch_classes(chord) if chord else frozenset()


def _is_third(chord: Chord, pitch: int) -> bool:
    return (pitch - pitch_class(place(chord.root_step, chord.root_alter))) % 12 in (3, 4)


def _anticipates(note: MelodyNote, pitch: int) -> bool:
    """Whether the note belongs to the next chord and comes at most one beat before it."""
    if note.next_onset is None or pitch not in _tones(note.next_chord):
        return False
    return 0 < note.next_onset - note.onset <= note.beat


@lru_cache(maxsize=64)
def _frame(key: Key | None) -> _Frame:
    if key is None:
        return _Frame(0)
    tonic = pitch_class(place(key.step, key.alter))
    notes = key_pitch_classes(key)
    scale = pentatonic_name(key)
    # A locrian key has no pentatonic of its own: the whole mode stands in for it.
    pentatonic = frozenset((tonic + s) % 12 for s in SCALES[scale].semitones) if scale else notes
    movable = frozenset({(tonic + 9) % 12, (tonic + 11) % 12}) if key.mode == "minor" else frozenset()
    blue = frozenset((tonic + s) % 12 for s in _BLUE_DEGREES) - pentatonic
    return _Frame(tonic, notes, pentatonic, movable, blue)


def _neighbours(notes: Sequence[MelodyNote]) -> tuple[list[int | None], list[int | None]]:
    """For each note the one before it and the one after it in its line.

    Where several notes sound together, the line goes to the one nearest in pitch.
    """
    order = sorted(range(len(notes)), key=lambda i: (notes[i].onset, i))
    groups: list[list[int]] = []
    for index in order:
        if groups and notes[groups[-1][0]].onset == notes[index].onset:
            groups[-1].append(index)
        else:
            groups.append([index])
    before: list[int | None] = [None] * len(notes)
    after: list[int | None] = [None] * len(notes)
    for earlier, later in pairwise(groups):
        for index in later:
            before[index] = min(earlier, key=lambda i: abs(notes[i].target - notes[index].target))
        for index in earlier:
            after[index] = min(later, key=lambda i: abs(notes[i].target - notes[index].target))
    return before, after
