"""Names for the notes of a tab, which has none: by the chord of the moment, the blues, and the key."""

from __future__ import annotations

from dataclasses import replace

from tabtools.score import Event, Key, Note, Part, Pitch, Score
from tabtools.theory.blues import has_blues_chords, says_blues
from tabtools.theory.chord import Chord, parse_chord, tone
from tabtools.theory.line_of_fifths import place_of_letter, step_alter
from tabtools.theory.spelling import spell


def respell(score: Score) -> Score:
    """The score with every note named as a teacher would, the sound unchanged.

    A chord tone has the name that its chord gives it (the third of D7 is F#, of Dm7 F, in any key), unless
    that takes a double accidental; in a blues the flat third and fifth are flats; the key names the rest.
    """
    blues = says_blues(score)
    return replace(score, parts=tuple(_part(part, blues) for part in score.parts))


def _part(part: Part, blues: bool) -> Part:
    chords = [parse_chord(h.symbol) for bar in part.bars for h in bar.harmonies]
    # With a capo the symbols may name the shapes, whose notes are others.
    usable = not part.instrument.capo
    chord: Chord | None = None
    bars = []
    for bar in part.bars:
        flat = bar.key is not None and (blues or has_blues_chords(bar.key, chords))
        pending = list(bar.harmonies)
        events = []
        for event in bar.events:
            while pending and pending[0].onset <= event.onset:
                chord = parse_chord(pending.pop(0).symbol)
            events.append(_event(event, bar.key, chord if usable else None, flat))
        if pending:
            chord = parse_chord(pending[-1].symbol)
        bars.append(replace(bar, events=tuple(events)))
    return replace(part, bars=tuple(bars))


def _event(event: Event, key: Key | None, chord: Chord | None, blues: bool) -> Event:
    return replace(event, notes=tuple(_note(note, key, chord, blues) for note in event.notes))


def _note(note: Note, key: Key | None, chord: Chord | None, blues: bool) -> Note:
    if note.pitch is None:
        return note
    pitch = _named(note.pitch.midi, key, chord, blues)
    return note if pitch == note.pitch else replace(note, pitch=pitch)


def _named(midi: int, key: Key | None, chord: Chord | None, blues: bool) -> Pitch:
    found = tone(chord, midi % 12) if chord else None
    if found is not None:
        step, alter = step_alter(place_of_letter(found[1]))
        if abs(alter) < 2:
            return _in_octave(step, alter, midi)
    return spell(midi, key, blues=blues)


def _in_octave(step: str, alter: int, midi: int) -> Pitch:
    """The pitch of a name and a MIDI number: B# sounds in the octave above its name, Cb in the one below."""
    octave = (midi - Pitch(step, alter, -1).midi) // 12 - 1
    return Pitch(step, alter, octave)
