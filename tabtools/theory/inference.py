"""Key and chords for a score that names none: each is marked as inferred, with how sure it is."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tabtools.score import ZERO, Bar, Event, Harmony, Inferred, Note, Part, Quarters, Score
from tabtools.theory.chord import Chord, parse_chord
from tabtools.theory.chord_finding import ChordReading, find_chord
from tabtools.theory.duration import beats
from tabtools.theory.key_finding import KeyReading, key_of_chords, key_of_notes
from tabtools.timeline import chord_spans

# Bends after which the note is held at its new pitch; after a release it is back at its fret.
_BENT = ("bend", "prebend")
# They take no time, have no pitch, or sound another pitch than that of their fret.
_NOT_HEARD = ("grace", "dead", "harmonic")
# Below this share of the notes' time between the best chord and the next, no chord is named.
_CLEAR = 0.15


def bend_of(note: Note) -> Quarters | None:
    """By how many semitones a note is bent up where it is held; None for a bend of unknown size."""
    for technique in note.techniques:
        if technique.name in _BENT:
            return technique.value
    return ZERO


def heard(note: Note) -> int | None:
    """The MIDI number that a note is held at, bent up by whole semitones; None where that is unknown."""
    if note.pitch is None:
        return None
    if not note.techniques:
        return note.pitch.midi
    bend = bend_of(note)
    if bend is None or note.has(*_NOT_HEARD):
        return None
    return int(note.pitch.midi + bend // 1)


def key_of(part: Part) -> KeyReading | None:
    """The key that the chord symbols of a part tell, or else its notes; None for a part without either.

    A single chord tells too little, so the notes decide there.
    """
    chords = list(_chords(part))
    if len({chord.text for chord, _ in chords}) > 1:
        return key_of_chords(chords)
    return key_of_notes([pair for bar in part.bars for pair in melody(bar.events)], _downbeat(part))


def _downbeat(part: Part) -> int | None:
    """The lowest note on the first beat of the first whole bar."""
    for bar in part.bars:
        if not bar.pickup and bar.events:
            return min((midi for e in bar.events if e.onset == 0 for midi, _ in melody([e])), default=None)
    return None


def with_key(score: Score, least: float = 0.0) -> Score:
    """The score with a key in every bar of each part that has none at all.

    A key of less confidence than ``least`` is left out.
    """
    return score._replace(parts=tuple(_part_with_key(part, least) for part in score.parts))


def with_chords(score: Score) -> Score:
    """The score with chord symbols in each part that has none at all: one a bar or half bar, where clear."""
    return score._replace(parts=tuple(map(_part_with_chords, score.parts)))


def _part_with_key(part: Part, least: float) -> Part:
    if any(bar.key for bar in part.bars):
        return part
    reading = key_of(part)
    if reading is None or reading.confidence < least:
        return part
    mark = Inferred("key", reading.evidence, reading.confidence)
    return part._replace(
        bars=tuple(bar._replace(key=reading.key, inferred=(*bar.inferred, mark)) for bar in part.bars),
    )


def _chords(part: Part) -> Iterator[tuple[Chord, Quarters]]:
    """The part's chord symbols that are understood, each with the time until the next that is."""
    spans = [(chord, span) for span in chord_spans(part) if (chord := parse_chord(span.harmony.symbol))]
    ends = [*(span.start for _, span in spans[1:]), *(span.end for _, span in spans[-1:])]
    for (chord, span), end in zip(spans, ends, strict=True):
        yield chord, end - span.start


def melody(events: Iterable[Event]) -> Iterator[tuple[int, Quarters]]:
    """The MIDI number and duration in quarter notes of every note that is heard; grace notes are left out."""
    for event in events:
        for note in event.notes:
            midi = heard(note)
            if midi is not None and not event.grace:
                yield midi, event.duration


def _part_with_chords(part: Part) -> Part:
    if any(bar.harmonies for bar in part.bars):
        return part
    bars, last = [], ""
    for bar in part.bars:
        named = [h for h in _named(bar) if h.symbol != last]
        last = named[-1].symbol if named else last
        bars.append(bar._replace(harmonies=tuple(named)) if named else bar)
    return part._replace(bars=tuple(bars))


def _named(bar: Bar) -> list[Harmony]:
    """The chord of the bar, or those of its halves where the bar as a whole is not clear."""
    chord_of_bar = _spelled(bar, ZERO, bar.time.length)
    if chord_of_bar is not None:
        return [_harmony(ZERO, chord_of_bar)]
    grid = beats(bar.time)
    if len(grid) % 2 == 0:
        return []
    middle = grid[len(grid) // 2]
    halves = ((ZERO, middle), (middle, bar.time.length))
    return [_harmony(start, half) for start, end in halves if (half := _spelled(bar, start, end))]


def _spelled(bar: Bar, start: Quarters, end: Quarters) -> ChordReading | None:
    """The chord of the notes that begin in a stretch, if it is clear."""
    events = [event for event in bar.events if start <= event.onset < end]
    weights: dict[int, float] = {}
    for midi, duration in melody(events):
        weights[midi % 12] = weights.get(midi % 12, 0.0) + float(duration)
    if len(weights) < 3:
        return None
    # The lowest note of a line is no bass, that of a grip is.
    struck = [midi for event in events if len(event.notes) > 2 for midi, _ in melody([event])]
    reading = find_chord(weights, min(struck) % 12 if struck else None, bar.key)
    return reading if reading and reading.margin >= _CLEAR else None


def _harmony(onset: Quarters, reading: ChordReading) -> Harmony:
    confidence = round(min(0.99, 0.5 + reading.margin), 3)
    return Harmony(onset, reading.chord.text, inferred=(Inferred("chord", "notes", confidence),))
