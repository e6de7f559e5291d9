"""Chord symbols beside the key on a page whose other chords are all the key's.

A dominant of the chord that follows, the dominant and the raised notes of a minor key are at home there
(common practice, no source), and so is a symbol whose own notes are played.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from tabtools.record import NamedTuple
from tabtools.score import Bar, Harmony, Key, Part, Score
from tabtools.theory.chord import Chord, parse_chord, pitch_classes, tones
from tabtools.theory.key import pitch_classes as key_pitch_classes
from tabtools.theory.line_of_fifths import pitch_class, place
from tabtools.theory.names import NOTE_NAMES
from tabtools.timeline import ChordSpan, chord_spans

_FEWEST = 3  # other chords that are the key's


class OddChord(NamedTuple):
    """A symbol with ``foreign`` notes that neither the key nor the music under it has; ``others`` are the
    symbols that fit. ``instead`` is the chord on the same root that the key has, if it has one."""

    bar: Bar
    harmony: Harmony
    key: Key
    foreign: tuple[str, ...]
    others: int
    instead: str | None


def odd_chords(score: Score) -> tuple[OddChord, ...]:
    """The one symbol, or two, of a part that are beside its key."""
    return tuple(odd for part in score.parts for odd in _of_part(part))


def _of_part(part: Part) -> Iterator[OddChord]:
    spans = chord_spans(part)
    chords = [parse_chord(span.harmony.symbol) for span in spans]
    known = [
        (span, chord) for span, chord in zip(spans, chords, strict=True) if chord and chord.quality.degrees
    ]
    beside = [index for index in range(len(known)) if _is_beside(known, index)]
    if not beside or len(known) - len(beside) < _FEWEST * len(beside):
        return
    for index in beside:
        span, chord = known[index]
        key = span.bar.key
        assert key is not None
        inside = _inside(key)
        foreign = tuple(name for _, name in tones(chord) if _class(name) not in inside)
        if not _played(part, span, {_class(name) for name in foreign}):
            instead = _same_root(chord, inside)
            yield OddChord(span.bar, span.harmony, key, foreign, len(known) - len(beside), instead)


def _is_beside(known: Sequence[tuple[ChordSpan, Chord]], index: int) -> bool:
    span, chord = known[index]
    if span.bar.key is None or pitch_classes(chord) <= _inside(span.bar.key):
        return False
    following = known[index + 1][1] if index + 1 < len(known) else None
    leads = following is not None and _root(following) == (_root(chord) + 5) % 12
    return not (leads and "3" in chord.quality.degrees)


def _inside(key: Key) -> frozenset[int]:
    """The pitch classes of a key, with the raised sixth and seventh of a minor one."""
    tonic = pitch_class(place(key.step, key.alter))
    raised = {(tonic + 9) % 12, (tonic + 11) % 12} if key.mode == "minor" else set()
    return key_pitch_classes(key) | raised


def _root(chord: Chord) -> int:
    return pitch_class(place(chord.root_step, chord.root_alter))


def _class(name: str) -> int:
    return pitch_class(place(*NOTE_NAMES[name])) if name in NOTE_NAMES else -1


def _played(part: Part, span: ChordSpan, classes: set[int]) -> bool:
    """Whether any of the pitch classes sounds while a symbol is in force."""
    for start, bar in zip(part.starts, part.bars, strict=True):
        if start < span.end and span.start < start + bar.lasts:
            for event in bar.events:
                if span.start <= start + event.onset < span.end and any(
                    note.pitch is not None and note.pitch.midi % 12 in classes for note in event.notes
                ):
                    return True
    return False


def _same_root(chord: Chord, inside: frozenset[int]) -> str | None:
    """The plain chord on the root of another that a key has."""
    letter = chord.root_step + {-1: "b", 0: "", 1: "#"}[chord.root_alter]
    for name in (letter, f"{letter}m"):
        other = parse_chord(name)
        if other is not None and pitch_classes(other) <= inside:
            return name
    return None
