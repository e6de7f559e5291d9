"""Clean tabs of traditional tunes from the corpus that music21 ships, for the tests of what is reported."""

from __future__ import annotations

import random
from collections.abc import Iterator
from fractions import Fraction
from functools import cache
from itertools import islice, pairwise
from typing import Any

from tabtools.fingering.resolve import resolve
from tabtools.instrument import TUNINGS, instrument_from
from tabtools.score import Bar, Event, Harmony, Instrument, Key, Note, Part, Pitch, Score, TimeSignature
from tabtools.theory.key import pitch_classes
from tabtools.theory.spelling import spell

BARS = 12
PER_FILE = 12  # tunes of a file that holds many
COLLECTION = "ryansMammoth"
LOWEST, HIGHEST = 40, 73  # what a guitar has up to the ninth fret, as MIDI numbers
# Standard tuning most often, and what else lessons have.
INSTRUMENTS = tuple(
    instrument_from(next(t for t in TUNINGS if t.instrument == "Guitar" and name in t.names), capo)
    for name, capo in (("standard", 0), ("drop d", 0), ("standard", 2), ("dadgad", 0))
)
OCTAVE = 12  # the tunes are noted for a fiddle and lie an octave lower on a guitar


@cache
def paths(collection: str = COLLECTION) -> list[str]:
    """The files of a collection, in an order that is always the same and that no key or metre leads."""
    from music21 import corpus

    found = sorted(str(path) for path in corpus.getComposer(collection))
    random.Random(1).shuffle(found)
    return found


def tunes(number: int) -> Iterator[Score]:
    """Scores with string and fret for every note, a key, and the key's chord in every bar."""
    return islice(_scores(COLLECTION, foreign=False), number)


def foreign_tunes(number: int, collection: str) -> Iterator[Score]:
    """Tunes in the keys and modes that they are written in, with the notes foreign to these kept."""
    return islice(_scores(collection, foreign=True), number)


def _scores(collection: str, *, foreign: bool) -> Iterator[Score]:
    made = 0
    for stream in _streams(collection):
        score = _score(stream, f"Tune {made + 1}", INSTRUMENTS[made % len(INSTRUMENTS)], foreign)
        if score is not None:
            made += 1
            yield score


def _streams(collection: str) -> Iterator[Any]:
    """The tunes of a collection; of a file that has many, some from all over it."""
    from music21 import converter

    for path in paths(collection):
        stream = converter.parse(path)
        several = list(getattr(stream, "scores", ()))
        yield from several[:: max(1, len(several) // PER_FILE)] if several else (stream,)


def _score(stream: Any, title: str, instrument: Instrument, foreign: bool) -> Score | None:
    key, time = _first(stream, "KeySignature"), _first(stream, "TimeSignature")
    if key is None or time is None or time.ratioString not in ("2/4", "3/4", "4/4", "6/8"):
        return None
    mode = getattr(key, "mode", None) if foreign else None
    tonic = key.tonic if mode else key.asKey("major").tonic
    own = Key(tonic.step, int(tonic.alter), mode or "major")
    metre = TimeSignature(time.numerator, time.denominator)
    bars = [
        bar
        for measure in stream.parts[0].getElementsByClass("Measure")
        if (bar := _bar(measure, own, metre, foreign)) is not None
    ][:BARS]
    if len(bars) < BARS // 2:
        return None
    score = Score(
        (Part("Guitar", instrument, tuple(b._replace(number=n) for n, b in enumerate(bars, 1))),), title
    )
    placed = resolve(score, max_fret=9)
    return _with_tie(_without_fingers(placed)) if _all_placed(placed) else None


def _all_placed(score: Score) -> bool:
    """Whether every note has a string: a capo or open strings may leave none for a low one."""
    notes = (note for part in score.parts for bar in part.bars for e in bar.events for note in e.notes)
    return all(note.string is not None for note in notes)


def _first(stream: Any, kind: str) -> Any:
    return next(iter(stream.recurse().getElementsByClass(kind)), None)


def _bar(measure: Any, key: Key, time: TimeSignature, foreign: bool) -> Bar | None:
    """A bar that is full and holds single notes and rests, all of the key unless ``foreign``; else None."""
    events = []
    for thing in measure.notesAndRests:
        length = Fraction(thing.quarterLength)
        if length <= 0 or thing.duration.tuplets or thing.isChord:
            return None
        onset = Fraction(thing.offset)
        notes: tuple[Note, ...] = ()
        if thing.isNote:
            midi = thing.pitch.midi - OCTAVE
            if not (foreign or midi % 12 in pitch_classes(key)) or not LOWEST <= midi <= HIGHEST:
                return None
            notes = (Note(None, None, spell(midi, key)),)
        events.append(Event(onset, length, notes))
    if sum((event.duration for event in events), Fraction()) != time.length or not events[0].notes:
        return None
    return Bar(1, time, key, tuple(events), _chords(events, key))


def _chords(events: list[Event], key: Key) -> tuple[Harmony, ...]:
    """The key's chord on 1, 4 or 5 that most of the bar sounds, if that is half of it or more."""
    tonic = Pitch(key.step, key.alter, 4).midi
    third = {
        root: 4 if (root + 4) % 12 in pitch_classes(key) else 3 for root in (tonic, tonic + 5, tonic + 7)
    }
    sounding = {
        root: sum(
            (
                e.duration
                for e in events
                for n in e.notes
                if n.pitch and (n.pitch.midi - root) % 12 in (0, third[root], 7)
            ),
            Fraction(),
        )
        for root in third
    }
    root = max(sounding, key=lambda root: sounding[root])
    if sounding[root] * 2 < sum(event.duration for event in events):
        return ()
    return (Harmony(Fraction(), spell(root, key).letter + ("m" if third[root] == 3 else "")),)


def _with_tie(score: Score) -> Score:
    """The first note that is repeated over a bar line is held instead, where there is one."""
    (part,) = score.parts
    for before, after in pairwise(part.bars):
        last, first = before.events[-1], after.events[0]
        if last.notes and last.notes == first.notes:
            held = first._replace(notes=tuple(note._replace(tied=True) for note in first.notes))
            tied = after._replace(events=(held, *after.events[1:]))
            bars = tuple(tied if bar is after else bar for bar in part.bars)
            return score._replace(parts=(part._replace(bars=bars),))
    return score


def _without_fingers(score: Score) -> Score:
    """Places only: what a reader would not read from the page is left out."""

    def note(one: Note) -> Note:
        return one._replace(finger=None, inferred=())

    def bar(one: Bar) -> Bar:
        events = tuple(event._replace(notes=tuple(map(note, event.notes))) for event in one.events)
        return one._replace(events=events)

    parts = tuple(part._replace(bars=tuple(map(bar, part.bars))) for part in score.parts)
    return score._replace(parts=parts)
