"""What the author of a page meant: its notes with each chord symbol as it stands, and with one thing changed.

A page has habits: some play nothing but the notes of the chord, some a melody over it. How many of its notes
are chord tones tells how likely a note beside the chord is; the odds of a slip, of a symbol or of a single
note, are ours. For each symbol the readings compete: nothing is wrong, another chord is meant, or one note,
or the symbol stands too early. A reading that explains the notes much better than the page as it stands is
told, with the evidence in numbers.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from functools import lru_cache

from tabtools.instrument import above_shapes
from tabtools.record import NamedTuple
from tabtools.score import Bar, Event, Harmony, Key, Note, Part, Score
from tabtools.theory.chord import Chord, parse_chord, pitch_classes
from tabtools.theory.key import pitch_classes as key_pitch_classes
from tabtools.theory.line_of_fifths import pitch_class, place
from tabtools.theory.spelling import spell
from tabtools.timeline import chords_in_force

# Of a hundred symbols one or two are wrong, and of a hundred notes one; nats. Our own values, chosen on the
# pages of tests/cases/judgement.
_SYMBOL_SLIP = 3.5
_NOTE_SLIP = 3.2
_OTHER_KEY = 1.5  # more for a chord that is not the key's
_TRIAD = 3  # tones: over a power chord nearly all is free
_FEWEST = 4  # notes under a symbol that say something
_FEWEST_ON_PAGE = 12
_LOOSE = 0.6  # who plays more notes beside the chords says nothing about them
_QUALITIES = ("", "m", "7", "m7", "maj7", "dim", "m7b5")
_ROOTS = ("C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B")


class Placed(NamedTuple):
    """A note with its place and its pitch class as it is named: the sound, or the shape behind a capo."""

    bar: Bar
    event: Event
    note: Note
    named: int


class Stretch(NamedTuple):
    """A chord symbol as it is in force: over some notes of one bar or more."""

    harmony: Harmony
    chord: Chord
    key: Key | None
    notes: tuple[Placed, ...]


class OtherChord(NamedTuple):
    """Another chord explains the notes: ``inside`` of them are its own, ``before`` the written one's."""

    stretch: Stretch
    chord: Chord
    inside: int
    before: int
    confidence: float


class OtherNote(NamedTuple):
    """One note is beside a chord whose notes all others are; ``fits`` are the nearest frets that fit."""

    stretch: Stretch
    placed: Placed
    fits: tuple[int, ...]
    confidence: float


class Misplaced(NamedTuple):
    """A symbol that stands before its time: the ``notes`` notes from it to the end of the bar are the chord's
    before, ``own`` of them its own."""

    stretch: Stretch
    before: Chord
    notes: int
    own: int
    confidence: float


Reading = OtherChord | OtherNote | Misplaced


def readings(score: Score) -> tuple[Reading, ...]:
    """The symbols and notes that were probably meant otherwise, in order."""
    return tuple(reading for part in score.parts for reading in _of_part(part))


def _of_part(part: Part) -> Iterator[Reading]:
    shift = above_shapes(part.instrument)
    candidates = [list(_stretches(part, by)) for by in dict.fromkeys((0, shift))]
    stretches = max(candidates, key=lambda found: sum(_inside(one, one.chord) for one in found))
    notes = sum(len(stretch.notes) for stretch in stretches)
    if notes < _FEWEST_ON_PAGE:
        return
    inside = sum(_inside(stretch, stretch.chord) for stretch in stretches)
    before: Stretch | None = None
    for stretch in stretches:
        # A page is judged by the rest of it.
        own = _inside(stretch, stretch.chord)
        others = notes - len(stretch.notes)
        share = min((inside - own + 2) / (others + 3), 0.99)
        if share < _LOOSE:
            continue
        early = _early(before, stretch, share) if before is not None else None
        if early is not None:
            yield early
        elif len(stretch.notes) >= _FEWEST:
            yield from _judged(stretch, share)
        before = stretch


def _early(before: Stretch, stretch: Stretch, share: float) -> Misplaced | None:
    """A symbol within a bar whose notes there still are those of the chord before it."""
    starts = any(harmony is stretch.harmony for harmony in stretch.notes[0].bar.harmonies)
    if not starts or not stretch.harmony.onset or before.chord.text == stretch.chord.text:
        return None
    count, own = len(stretch.notes), _inside(stretch, stretch.chord)
    still = _inside(stretch, before.chord)
    gain = (still - own) * (math.log(share / 3) - math.log((1 - share) / 9)) - _NOTE_SLIP
    if gain <= 0 or still < count:
        return None
    return Misplaced(stretch, before.chord, count, own, _confidence(gain))


def _stretches(part: Part, shift: int) -> Iterator[Stretch]:
    """Every symbol that is understood with the notes under it, bar by bar."""
    for bar, harmonies in zip(part.bars, chords_in_force(part), strict=True):
        groups: dict[int, tuple[Harmony, list[Placed]]] = {}
        for event, harmony in zip(bar.events, harmonies, strict=True):
            if harmony is None or event.grace:
                continue
            group = groups.setdefault(id(harmony), (harmony, []))[1]
            for note in event.notes:
                if (
                    note.pitch is not None
                    and not note.tied
                    and not note.has("harmonic", "artificial", "dead")
                ):
                    group.append(Placed(bar, event, note, (note.pitch.midi - shift) % 12))
        for harmony, notes in groups.values():
            chord = parse_chord(harmony.symbol)
            if chord is not None and len(chord.quality.degrees) >= _TRIAD and notes:
                yield Stretch(harmony, chord, bar.key, tuple(notes))


def _inside(stretch: Stretch, chord: Chord) -> int:
    tones = pitch_classes(chord)
    return sum(placed.named in tones for placed in stretch.notes)


def _judged(stretch: Stretch, share: float) -> Iterator[Reading]:
    """The best reading of a stretch, where it is better than the page as it stands."""
    if stretch.chord.bass is not None or _inside(stretch, stretch.chord) == len(stretch.notes):
        better = _subset(stretch, share)
        if better is not None:
            yield better
        return
    heard = _heard(stretch.notes)
    here = _likelihood(heard, stretch.chord, share)
    other = _likeliest(heard, stretch.chord, stretch.key, share)
    odd = [placed for placed in stretch.notes if placed.named not in pitch_classes(stretch.chord)]
    note_gain = _note_gain(stretch, odd, share) if len(odd) == 1 else -math.inf
    chord_gain = other[0] - here if len({placed.named for placed in stretch.notes}) >= _TRIAD else -math.inf
    if max(chord_gain, note_gain) <= 0:
        return
    if len(stretch.notes) == _FEWEST and _inside(stretch, other[1]) - _inside(stretch, stretch.chord) < 2:
        return
    if chord_gain > note_gain:
        yield _other_chord(stretch, other[1], chord_gain, share)
    elif odd[0].note.fret is not None and not _passes(stretch, odd[0]):
        yield OtherNote(stretch, odd[0], _fits(odd[0], stretch.chord), _confidence(note_gain))


def _subset(stretch: Stretch, share: float) -> OtherChord | None:
    """Where all notes are the symbol's, no other chord is likelier unless the root is never played."""
    root = pitch_class(place(stretch.chord.root_step, stretch.chord.root_alter))
    heard = {placed.named for placed in stretch.notes}
    if root in heard or len(heard) < 3 or share < 0.9:
        return None
    first = stretch.notes[0].named
    for chord in _chords():
        own_root = pitch_class(place(chord.root_step, chord.root_alter))
        if own_root == first and pitch_classes(chord) == heard and chord.quality.suffix in ("", "m"):
            return _other_chord(stretch, chord, 1.0, share)
    return None


def _other_chord(stretch: Stretch, chord: Chord, gain: float, share: float) -> OtherChord:
    """No surer than the page keeps to its chords."""
    root = pitch_class(place(chord.root_step, chord.root_alter))
    chord = parse_chord(spell(60 + root, stretch.key).letter + chord.quality.suffix) or chord
    inside, before = _inside(stretch, chord), _inside(stretch, stretch.chord)
    return OtherChord(stretch, chord, inside, before, min(share, _confidence(gain)))


def _confidence(gain: float) -> float:
    """The odds of a reading against the page as it stands."""
    return 1 / (1 + math.exp(-min(gain, 50.0)))


class _Heard(NamedTuple):
    """What of some notes tells their chord: how many there are of each pitch class, the first, the lowest."""

    counts: tuple[int, ...]
    first: int
    lowest: int


def _heard(notes: Sequence[Placed]) -> _Heard:
    counts = [0] * 12
    for placed in notes:
        counts[placed.named] += 1
    lowest = min(notes, key=lambda placed: placed.note.pitch.midi if placed.note.pitch else 0)
    return _Heard(tuple(counts), notes[0].named, lowest.named)


@lru_cache(maxsize=4096)  # the bars of a page repeat each other
def _likeliest(heard: _Heard, written: Chord, key: Key | None, share: float) -> tuple[float, Chord]:
    """The chord that notes are likeliest over, and how likely, less what it costs to be written otherwise."""
    return max(
        ((_likelihood(heard, chord, share) - _slip(chord, written, key), chord) for chord in _chords()),
        key=lambda item: item[0],
    )


def _likelihood(heard: _Heard, chord: Chord, share: float) -> float:
    """How likely notes are over a chord, in nats, for a writer of whose notes ``share`` are chord tones. What
    is struck lowest or first is the root more often than not."""
    tones, root = _tones_and_root(chord)
    inside = sum(heard.counts[tone] for tone in tones)
    outside = sum(heard.counts) - inside
    leads = 0.7 * (heard.first == root) + 0.7 * (heard.lowest == root)
    return inside * math.log(share / len(tones)) + outside * math.log((1 - share) / (12 - len(tones))) + leads


@lru_cache(maxsize=1024)
def _tones_and_root(chord: Chord) -> tuple[tuple[int, ...], int]:
    return tuple(sorted(pitch_classes(chord))), pitch_class(place(chord.root_step, chord.root_alter))


@lru_cache(maxsize=8192)
def _slip(chord: Chord, written: Chord, key: Key | None) -> float:
    """What it costs to say that a symbol that is written stands for this chord."""
    if chord.root_step == written.root_step and chord.root_alter == written.root_alter:
        return _SYMBOL_SLIP
    foreign = key is not None and not pitch_classes(chord) <= key_pitch_classes(key)
    return _SYMBOL_SLIP + _OTHER_KEY * foreign + _OTHER_KEY * (chord.quality.suffix not in ("", "m"))


def _note_gain(stretch: Stretch, odd: Sequence[Placed], share: float) -> float:
    """What is won when the one odd note is taken for a slip."""
    tones = len(pitch_classes(stretch.chord))
    return math.log(share / tones) - math.log((1 - share) / (12 - tones)) - _NOTE_SLIP


def _passes(stretch: Stretch, odd: Placed) -> bool:
    """Whether an odd note steps between its neighbours as passing notes do."""
    if any(placed.event is odd.event for placed in stretch.notes if placed is not odd):
        return False
    at = stretch.notes.index(odd)
    around = [
        stretch.notes[index].note.pitch for index in (at - 1, at + 1) if 0 <= index < len(stretch.notes)
    ]
    own = odd.note.pitch
    steps = [pitch.midi - own.midi for pitch in around if pitch is not None and own is not None]
    return len(steps) == 2 and all(0 < abs(step) <= 2 for step in steps)


def _fits(odd: Placed, chord: Chord) -> tuple[int, ...]:
    """The frets of the same string, up to three away, that would be chord tones; the nearest first."""
    fret = odd.note.fret
    if fret is None:
        return ()
    tones = pitch_classes(chord)
    steps = (-1, 1, -2, 2, -3, 3)
    return tuple(fret + step for step in steps if fret + step >= 0 and (odd.named + step) % 12 in tones)


@lru_cache(maxsize=1)
def _chords() -> tuple[Chord, ...]:
    """The chords that may be meant: the common qualities on every root."""
    named = (parse_chord(root + quality) for root in _ROOTS for quality in _QUALITIES)
    return tuple(chord for chord in named if chord is not None)


def note_name(placed: Placed) -> str:
    """The letter of a note as its key has it."""
    return spell(60 + placed.named, placed.bar.key).letter
