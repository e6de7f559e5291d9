"""Names for the notes of a tab, which has none: by the chord of the moment, the blues, and the key."""

from __future__ import annotations

from tabtools.record import NamedTuple
from tabtools.score import Key, Note, Part, Pitch, Score
from tabtools.theory.blues import has_blues_chords, says_blues
from tabtools.theory.chord import Chord, parse_chord, tone
from tabtools.theory.line_of_fifths import place_of_letter, step_alter
from tabtools.theory.spelling import spell
from tabtools.timeline import chords_in_force


def respell(score: Score) -> Score:
    """The score with every note named as a teacher would, the sound unchanged.

    A chord tone has the name that its chord gives it (the third of D7 is F#, of Dm7 F, in any key), unless
    that takes a double accidental; in a blues the flat third and fifth are flats; the key and where the line
    goes name the rest.
    """
    blues = says_blues(score)
    return score._replace(parts=tuple(_part(part, blues) for part in score.parts))


def _part(part: Part, blues: bool) -> Part:
    chords = [parse_chord(h.symbol) for bar in part.bars for h in bar.harmonies]
    # With a capo the symbols may name the shapes, whose notes are others.
    usable = not part.instrument.capo
    bars = []
    for bar, followers, harmonies in zip(part.bars, _followers(part), chords_in_force(part), strict=True):
        flat = bar.key is not None and (blues or has_blues_chords(bar.key, chords))
        events = []
        for event, follower, harmony in zip(bar.events, followers, harmonies, strict=True):
            chord = parse_chord(harmony.symbol) if harmony and usable else None
            naming = _Naming(bar.key, chord, flat, follower)
            events.append(event._replace(notes=tuple(_note(note, naming) for note in event.notes)))
        bars.append(bar._replace(events=tuple(events)))
    return part._replace(bars=tuple(bars))


class _Naming(NamedTuple):
    """What names a note: key, chord, blues or not, and the MIDI numbers that follow."""

    key: Key | None
    chord: Chord | None
    blues: bool
    followers: frozenset[int]


def _followers(part: Part) -> list[list[frozenset[int]]]:
    """For each event of each bar, the MIDI numbers of the next event that differs from it."""
    rows: list[list[frozenset[int]]] = []
    after = following = frozenset[int]()
    for bar in reversed(part.bars):
        row = []
        for event in reversed(bar.events):
            struck = frozenset(note.pitch.midi for note in event.notes if note.pitch)
            if struck and struck != after:
                after, following = struck, after
            row.append(following)
        rows.append(row[::-1])
    return rows[::-1]


def _note(note: Note, naming: _Naming) -> Note:
    if note.pitch is None:
        return note
    pitch = _named(note.pitch.midi, naming)
    return note if pitch == note.pitch else note._replace(pitch=pitch)


def _named(midi: int, naming: _Naming) -> Pitch:
    chord_tone = tone(naming.chord, midi % 12) if naming.chord else None
    if chord_tone is not None:
        step, alter = step_alter(place_of_letter(chord_tone[1]))
        if abs(alter) < 2:
            return _in_octave(step, alter, midi)
    then = next((step for step in (-1, 1) if midi + step in naming.followers), 0)
    return spell(midi, naming.key, blues=naming.blues, then=then)


def _in_octave(step: str, alter: int, midi: int) -> Pitch:
    """The pitch of a name and a MIDI number: B# sounds in the octave above its name, Cb in the one below."""
    octave = (midi - Pitch(step, alter, -1).midi) // 12 - 1
    return Pitch(step, alter, octave)
