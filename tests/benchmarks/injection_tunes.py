"""Clean tabs of traditional tunes from the corpus that music21 ships, for the injection test."""

from __future__ import annotations

import random
from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction
from functools import cache
from itertools import pairwise
from typing import Any

from tabtools.fingering.resolve import resolve
from tabtools.instrument import TUNINGS, instrument_from
from tabtools.score import Bar, Event, Harmony, Instrument, Key, Note, Part, Pitch, Score, TimeSignature
from tabtools.theory.key import pitch_classes
from tabtools.theory.spelling import spell

BARS = 12
COLLECTION = "ryansMammoth"
LOWEST, HIGHEST = 40, 73  # what a guitar has up to the ninth fret, as MIDI numbers
# Standard tuning most often, and what else lessons have.
INSTRUMENTS = tuple(
    instrument_from(next(t for t in TUNINGS if t.instrument == "Guitar" and name in t.names), capo)
    for name, capo in (("standard", 0), ("drop d", 0), ("standard", 2), ("dadgad", 0))
)
OCTAVE = 12  # the tunes are noted for a fiddle and lie an octave lower on a guitar


@cache
def paths() -> list[str]:
    """The tunes of the collection, in an order that is always the same and that no key or metre leads."""
    from music21 import corpus

    found = sorted(str(path) for path in corpus.getComposer(COLLECTION))
    random.Random(1).shuffle(found)
    return found


def tunes(number: int) -> Iterator[Score]:
    """Scores with string and fret for every note, a key, and the key's chord in every bar."""
    made = 0
    for path in paths():
        score = _score(path, f"Tune {made + 1}", INSTRUMENTS[made % len(INSTRUMENTS)])
        if score is not None:
            made += 1
            yield score
        if made == number:
            return


def _score(path: str, title: str, instrument: Instrument) -> Score | None:
    from music21 import converter

    stream = converter.parse(path)
    key, time = _first(stream, "KeySignature"), _first(stream, "TimeSignature")
    if key is None or time is None or time.ratioString not in ("2/4", "3/4", "4/4", "6/8"):
        return None
    tonic = key.asKey("major").tonic
    own = Key(tonic.step, int(tonic.alter), "major")
    metre = TimeSignature(time.numerator, time.denominator)
    bars = [
        bar
        for measure in stream.parts[0].getElementsByClass("Measure")
        if (bar := _bar(measure, own, metre)) is not None
    ][:BARS]
    if len(bars) < BARS // 2:
        return None
    score = Score(
        (Part("Guitar", instrument, tuple(replace(b, number=n) for n, b in enumerate(bars, 1))),), title
    )
    return _with_tie(_without_fingers(resolve(score, max_fret=9)))


def _first(stream: Any, kind: str) -> Any:
    return next(iter(stream.recurse().getElementsByClass(kind)), None)


def _bar(measure: Any, key: Key, time: TimeSignature) -> Bar | None:
    """A bar that is full and holds single notes of the key and rests; else None."""
    events = []
    for thing in measure.notesAndRests:
        length = Fraction(thing.quarterLength)
        if length <= 0 or thing.duration.tuplets or thing.isChord:
            return None
        onset = Fraction(thing.offset)
        notes: tuple[Note, ...] = ()
        if thing.isNote:
            midi = thing.pitch.midi - OCTAVE
            if midi % 12 not in pitch_classes(key) or not LOWEST <= midi <= HIGHEST:
                return None
            notes = (Note(None, None, spell(midi, key)),)
        events.append(Event(onset, length, notes))
    if sum((event.duration for event in events), Fraction()) != time.length or not events[0].notes:
        return None
    return Bar(1, time, key, tuple(events), _chords(events, key))


def _chords(events: list[Event], key: Key) -> tuple[Harmony, ...]:
    """The one of the key's three major chords that most of the bar sounds, if that is half of it or more."""
    tonic = Pitch(key.step, key.alter, 4).midi
    sounding = {
        root: sum(
            (
                e.duration
                for e in events
                for n in e.notes
                if n.pitch and (n.pitch.midi - root) % 12 in (0, 4, 7)
            ),
            Fraction(),
        )
        for root in (tonic, tonic + 5, tonic + 7)
    }
    root = max(sounding, key=lambda root: sounding[root])
    if sounding[root] * 2 < sum(event.duration for event in events):
        return ()
    return (Harmony(Fraction(), spell(root, key).letter),)


def _with_tie(score: Score) -> Score:
    """The first note that is repeated over a bar line is held instead, where there is one."""
    (part,) = score.parts
    for before, after in pairwise(part.bars):
        last, first = before.events[-1], after.events[0]
        if last.notes and last.notes == first.notes:
            held = replace(first, notes=tuple(replace(note, tied=True) for note in first.notes))
            tied = replace(after, events=(held, *after.events[1:]))
            bars = tuple(tied if bar is after else bar for bar in part.bars)
            return replace(score, parts=(replace(part, bars=bars),))
    return score


def _without_fingers(score: Score) -> Score:
    """Places only: what a reader would not read from the page is left out."""

    def note(one: Note) -> Note:
        return replace(one, finger=None, inferred=())

    def bar(one: Bar) -> Bar:
        events = tuple(replace(event, notes=tuple(map(note, event.notes))) for event in one.events)
        return replace(one, events=events)

    parts = tuple(replace(part, bars=tuple(map(bar, part.bars))) for part in score.parts)
    return replace(score, parts=parts)
