"""The notes of a part as a melody over its chords, judged against key and chord of the moment."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator
from itertools import groupby
from operator import itemgetter

from tabtools.instrument import above_shapes
from tabtools.lint.places import span_of
from tabtools.record import NamedTuple
from tabtools.score import Bar, Event, Key, Note, Part, Quarters, Score
from tabtools.source import Span
from tabtools.theory.blues import has_blues_chords, says_blues
from tabtools.theory.chord import Chord, parse_chord
from tabtools.theory.duration import beats
from tabtools.theory.explain import explain
from tabtools.theory.harmony import MelodyNote, Verdict, judge
from tabtools.theory.inference import bend_of, with_key

# Not judged: they take no time, have no pitch, or sound another pitch than that of their fret.
_UNJUDGED = ("grace", "dead", "harmonic")
# Outside key and chord, but led there and away by step: worth knowing, no more.
EXCUSED = ("passing", "neighbour", "approach")
_BEYOND_DOUBT = 0.95  # an inferred key of less confidence is not judged by
_SURE = 0.5  # an inferred onset below this confidence may lie on or off the beat


class Judged(NamedTuple):
    """A note with its verdict; ``part`` counts the parts from 0.

    ``shift`` was added to its MIDI number before it was judged: minus the capo, where key and chords are
    those of the shapes and not those that sound; else 0.
    """

    part: int
    bar: Bar
    event: Event
    note: Note
    melody: MelodyNote
    verdict: Verdict
    key: Key
    shift: int

    @property
    def span(self) -> Span:
        """Where the note stands."""
        return span_of(self.note, self.event, self.bar)

    @property
    def sure(self) -> bool:
        """Whether the author wrote the key that the note is judged by."""
        return all(inferred.fact != "key" for inferred in self.bar.inferred)

    @property
    def says(self) -> str:
        """Where the note is on the neck, and why it fits or does not, as in ``string 2, fret 7: F# is …``."""
        return f"{self._place()}{self._named()}: {self.reason}"

    @property
    def reason(self) -> str:
        """Why the note fits or does not, without its place."""
        return explain(self.verdict, self.melody, self.key)

    def _named(self) -> str:
        """By what the note is named where that is not its sound."""
        if not self.shift:
            return ""
        return " (as seen from the capo)" if self.shift < 0 else " (as named in standard tuning)"

    def _place(self) -> str:
        if self.note.string is None or self.note.fret is None:
            return self.note.pitch.name if self.note.pitch else "no pitch"
        bend = f", bent up by {self.melody.bend} semitones" if self.melody.bend else ""
        return f"string {self.note.string}, fret {self.note.fret}{bend}"


def judged_notes(score: Score) -> tuple[Judged, ...]:
    """Every note that can be judged, with its verdict, part by part in order of time.

    Where no key is written, the one that chords or notes tell counts if it is beyond doubt; chords alone
    don't tell which notes are foreign.
    """
    blues = says_blues(score)
    judged: list[Judged] = []
    for number, part in enumerate(with_key(score, _BEYOND_DOUBT).parts):
        readings = [_judge_part(number, part, blues, shift) for shift in _shifts(part)]
        # Key and chords are those that sound or those of the shapes: the closer reading counts.
        judged += min(readings, key=lambda notes: sum(n.verdict.level == "warning" for n in notes))
    return tuple(judged)


def _shifts(part: Part) -> tuple[int, ...]:
    above = above_shapes(part.instrument)
    return (0, -above) if above else (0,)


class _Played(NamedTuple):
    """A note that can be judged, and whether the symbol over it is one that is not understood."""

    bar: Bar
    event: Event
    note: Note
    melody: MelodyNote
    unknown: bool


_Chords = list[tuple[Quarters, Chord | None]]


def _judge_part(number: int, part: Part, blues: bool, shift: int) -> list[Judged]:
    starts = part.starts
    chords = [
        (start + harmony.onset, parse_chord(harmony.symbol))
        for bar, start in zip(part.bars, starts, strict=True)
        for harmony in bar.harmonies
    ]
    symbols = [chord for _, chord in chords]
    results: list[Judged] = []
    for key, group in groupby(zip(part.bars, starts, strict=True), key=lambda pair: pair[0].key):
        if key is None:
            continue
        played = [
            found
            for bar, start in group
            for found in _melody(bar, start, chords, shift, part.instrument.frets)
        ]
        melody = [one.melody for one in played]
        verdicts = judge(melody, key, blues=blues or has_blues_chords(key, symbols))
        results += [
            Judged(number, one.bar, one.event, one.note, one.melody, verdict, key, shift)
            for one, verdict in zip(played, verdicts, strict=True)
            if verdict and not one.unknown
        ]
    return results


def _melody(bar: Bar, start: Quarters, chords: _Chords, shift: int, frets: int) -> Iterator[_Played]:
    grid = beats(bar.time)
    halves = (grid[0], grid[len(grid) // 2]) if len(grid) % 2 and len(grid) > 3 else grid[:1]
    for event in bar.events:
        judged = [(note, bend) for note in event.notes if (bend := _judged_by(note, frets)) is not None]
        if event.grace or not judged:
            continue
        onset = start + event.onset
        at = bisect_right(chords, onset, key=itemgetter(0))
        chord = chords[at - 1][1] if at else None
        next_onset, next_chord = chords[at] if at < len(chords) else (None, None)
        sure = all(inferred.confidence >= _SURE for inferred in event.inferred)
        on_beat = sure and event.onset in grid
        strong = on_beat and event.onset in halves
        for note, bend in judged:
            midi = note.pitch.midi + shift if note.pitch else 0
            melody = MelodyNote(
                onset, event.duration, midi, bend, on_beat, strong, chord, next_chord, next_onset, grid[1]
            )
            yield _Played(bar, event, note, melody, at > 0 and chord is None)


def _judged_by(note: Note, frets: int) -> Quarters | None:
    """By how many semitones a note is bent up where it is held; None where it can't be judged."""
    off_neck = note.fret is not None and note.fret > frets
    if note.pitch is None or note.tied or off_neck or note.has(*_UNJUDGED):
        return None
    return bend_of(note)
