"""What every note of a segment is: a tone of form, scale or chord of the moment, or passing."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from tabtools.forms.evidence import Stroke, Tone
from tabtools.score import Key
from tabtools.theory import chord as chords
from tabtools.theory.chord import Chord
from tabtools.theory.harmony import pentatonic_name
from tabtools.theory.key import pitch_classes as key_pitch_classes
from tabtools.theory.line_of_fifths import pitch_class, place
from tabtools.theory.scale import SCALES

SCALE_TONE = "scale tone"
COLOUR_NOTE = "colour note"
BLUE_NOTE = "blue note"
PASSING = "passing"
NEIGHBOUR = "neighbour"
APPROACH = "approach"
OUTSIDE = "outside"


class Judge:
    """The strokes of a part, to judge their notes by. ``heard`` is by how many semitones the notes sound
    above the chord symbols and the key."""

    def __init__(self, line: Sequence[Stroke], heard: int) -> None:
        self.line = line
        self.heard = heard

    def in_form(self, tone: Tone, chord: Chord) -> str:
        """The role of a member of a form: its degree in the form's chord, in words."""
        return _role(chord, self._class(tone)) or OUTSIDE

    def in_box(self, index: int, tone: Tone, *, member: bool, blue: bool) -> str:
        """The role of a note inside a box: in the chord of the moment, or in the scale."""
        if blue:
            return BLUE_NOTE
        return self._in_chord(index, tone) or (SCALE_TONE if member else self.outside(index, tone))

    def outside(self, index: int, tone: Tone) -> str:
        """The role of a note outside its form, or of one in a run: why it is there. A tone of the chord of
        the moment needs no other reason."""
        told = self._in_chord(index, tone)
        if told:
            return told
        key = tone.bar.key
        if tone.steps == 2:
            return self._by_step(index, tone)
        if key is not None and self._class(tone) in key_pitch_classes(key):
            return SCALE_TONE
        return APPROACH if tone.steps and self._leads(index, tone) else OUTSIDE

    def _class(self, tone: Tone) -> int:
        return (tone.midi - self.heard) % 12

    def _in_chord(self, index: int, tone: Tone) -> str | None:
        """The role in the chord of the moment; a colour note where the key's pentatonic lacks it."""
        chord = self.line[index].chord
        role = _role(chord, self._class(tone)) if chord else None
        key = tone.bar.key
        if role and key is not None and self._class(tone) not in _pentatonic(key):
            return COLOUR_NOTE
        return role

    def _by_step(self, index: int, tone: Tone) -> str:
        before = _nearest(tone, self.line[index - 1].tones)
        after = _nearest(tone, self.line[index + 1].tones)
        return PASSING if (before < tone.midi) == (tone.midi < after) else NEIGHBOUR

    def _leads(self, index: int, tone: Tone) -> bool:
        """Whether the note steps into the one after it."""
        if index + 1 == len(self.line):
            return False
        return 1 <= abs(_nearest(tone, self.line[index + 1].tones) - tone.midi) <= 2


_role = lru_cache(maxsize=4096)(chords.role)


def _nearest(tone: Tone, others: Sequence[Tone]) -> int:
    """The pitch in another stroke from where the line comes or to where it goes: on the same string, else
    the one that lies nearest, but not on, the note."""
    moved = [other for other in others if other.midi != tone.midi]
    nearest = min(moved, key=lambda o: (o.string != tone.string, abs(o.midi - tone.midi)), default=tone)
    return nearest.midi


@lru_cache(maxsize=64)
def _pentatonic(key: Key) -> frozenset[int]:
    name = pentatonic_name(key)
    if name is None:
        return key_pitch_classes(key)
    tonic = pitch_class(place(key.step, key.alter))
    return frozenset((tonic + semitones) % 12 for semitones in SCALES[name].semitones)
