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
        melody = [note for *_, note in played]
        verdicts = judge(melody, key, blues=blues or has_blues_chords(key, symbols))
        for (bar, event, note, judged), verdict in zip(played, verdicts, strict=True):
            if verdict and not _under_unknown_chord(judged.onset, chords):
                results.append(Judged(number, bar, event, note, judged, verdict, key, shift))
    return results


def _melody(
    bar: Bar, start: Quarters, chords: list[tuple[Quarters, Chord | None]], shift: int, frets: int
) -> Iterator[tuple[Bar, Event, Note, MelodyNote]]:
    for event in bar.events:
        if event.grace:
            continue
        plain = _with_chord(_plain(bar, event, start), chords)
        for note in event.notes:
            bend = bend_of(note)
            off_neck = note.fret is not None and note.fret > frets
            if note.pitch and bend is not None and not (note.tied or off_neck or note.has(*_UNJUDGED)):
                melody = plain._replace(midi=note.pitch.midi + shift, bend=bend)
                yield bar, event, note, melody


def _plain(bar: Bar, event: Event, start: Quarters) -> MelodyNote:
    """The note as far as time goes."""
    grid = beats(bar.time)
    sure = all(inferred.confidence >= _SURE for inferred in event.inferred)
    on_beat = sure and event.onset in grid
    halves = (grid[0], grid[len(grid) // 2]) if len(grid) % 2 and len(grid) > 3 else grid[:1]
    return MelodyNote(
        start + event.onset,
        event.duration,
        0,
        on_beat=on_beat,
        strong=on_beat and event.onset in halves,
        beat=grid[1],
    )


def _with_chord(melody: MelodyNote, chords: list[tuple[Quarters, Chord | None]]) -> MelodyNote:
    """The note with the chord in force at its onset and the one that comes after."""
    at = bisect_right(chords, melody.onset, key=itemgetter(0))
    following = chords[at] if at < len(chords) else (None, None)
    return melody._replace(
        chord=chords[at - 1][1] if at else None, next_onset=following[0], next_chord=following[1]
    )


def _under_unknown_chord(onset: Quarters, chords: list[tuple[Quarters, Chord | None]]) -> bool:
    at = bisect_right(chords, onset, key=itemgetter(0))
    return at > 0 and chords[at - 1][1] is None
