"""What every note is: its interval over the chord in force, its degree in the key, its part in the line.

Common practice, no source: harmony handbooks agree on these terms.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from tabtools.forms.evidence import Stroke, Tone
from tabtools.record import NamedTuple
from tabtools.score import Key
from tabtools.theory import chord as chords
from tabtools.theory.blues import blue_notes, has_blues_chords
from tabtools.theory.chord import Chord
from tabtools.theory.explain import degree_of_key
from tabtools.theory.harmony import pentatonic_name
from tabtools.theory.intervals import interval_above, interval_words
from tabtools.theory.key import has_minor_third
from tabtools.theory.key import pitch_classes as key_pitch_classes
from tabtools.theory.line_of_fifths import (
    degree_at,
    degree_place,
    letter,
    pitch_class,
    place,
    place_of_letter,
)
from tabtools.theory.scale import SCALES
from tabtools.theory.spelling import spell

CHORD_TONE = "chord tone"
SCALE_TONE = "scale tone"
COLOUR_NOTE = "colour note"  # a chord tone that the pentatonic of the key lacks
BLUE_NOTE = "blue note"
PASSING = "passing"
NEIGHBOUR = "neighbour"
APPROACH = "approach"
SUSPENSION = "suspension"
ANTICIPATION = "anticipation"
BEND_TARGET = "target of a bend"
BASS = "bass note"
OUTSIDE = "outside"

_STEP = 2  # semitones
_EARLY = 1  # quarter notes: an anticipation comes at most so long before its chord
_BLUE_DEGREES = {3: "b3", 6: "b5", 10: "b7"}


class Role(NamedTuple):
    """What a note is.

    ``letter`` names what sounds, as the chord or else the key spells it; with a capo, as the chord symbols
    and the key have it. ``interval`` is that above the root of ``chord``, the symbol in force, or the chord
    of the form where none is: ``minor third``, ``root``; ``chord_tone`` tells whether it belongs to it.
    ``degree`` is the one in the key: ``fourth of C``. ``line`` is what the note is to the line, one or more
    of the names above. ``meant`` is what a suspension was, or an anticipation will be: ``root of F``.
    """

    letter: str
    line: tuple[str, ...]
    interval: str | None = None
    chord: str | None = None
    chord_tone: bool = False
    degree: str | None = None
    meant: str | None = None

    @property
    def over(self) -> str | None:
        """The interval with its chord: ``minor third of Dm``, or ``perfect fourth over C`` if it is no tone
        of the chord."""
        if self.interval is None:
            return None
        return f"{self.interval} {'of' if self.chord_tone else 'over'} {self.chord}"

    @property
    def words(self) -> str:
        """As in ``minor third of Dm, colour note``; without a chord the degree comes first."""
        line = [
            f"{name} ({self.meant})" if self.meant and name in (SUSPENSION, ANTICIPATION) else name
            for name in self.line
        ]
        first = self.over or self.degree
        return ", ".join([first, *line] if first else line)


class Judge:
    """The strokes of a part, to judge their notes by. ``heard`` is by how many semitones the notes sound
    above the chord symbols and the key."""

    def __init__(self, line: Sequence[Stroke], heard: int) -> None:
        self.line = line
        self.heard = heard
        symbols = {stroke.chord for stroke in line if stroke.chord}
        self._blues = {key: has_blues_chords(key, symbols) for key in _keys(line)}

    def role(
        self,
        index: int,
        tone: Tone,
        form: Chord | None = None,
        scale: Key | None = None,
        *,
        blue: bool = False,
    ) -> Role:
        """What a note of a stroke is; ``form`` is the chord of its form, ``scale`` the key that its box is
        named by: they count where the page has no chord, or no key. ``blue`` is true for the blue note of a
        box."""
        chord = self.line[index].chord or form
        key = tone.bar.key or scale
        semitones = self._class(tone)
        tones = _tones(chord)
        meant = None
        if semitones in tones:
            colour = key is not None and semitones not in pentatonic(key)
            names = [COLOUR_NOTE if colour else CHORD_TONE]
            if self._held_over(index, tone):
                names.append(SUSPENSION)
        else:
            blue = blue or (key is not None and self._is_blue(tone, key))
            names, meant = self._foreign(index, tone, key, blue=blue)
        name = self._letter(index, tone, chord, key, blue=BLUE_NOTE in names)
        if chord is not None and semitones in tones and chords.role(chord, semitones) == "bass":
            names.append(BASS)
        if tone.raised and not tone.note.has("harmonic"):
            names.append(BEND_TARGET)
        return Role(
            name,
            tuple(names),
            _interval(chord, semitones, name) if chord else None,
            chord.text if chord else None,
            semitones in tones,
            _degree(name, key) if key else None,
            meant,
        )

    def _class(self, tone: Tone) -> int:
        return (tone.midi - self.heard) % 12

    def _foreign(
        self, index: int, tone: Tone, key: Key | None, *, blue: bool
    ) -> tuple[list[str], str | None]:
        """What a note outside the chord is to the line, and what it was or will be in another chord."""
        names: list[str] = []
        meant = self._prepared(index, tone)
        if meant:
            names.append(SUSPENSION)
        else:
            meant = self._anticipated(index, tone)
            names += [ANTICIPATION] if meant else []
        if blue:
            names.append(BLUE_NOTE)
        if not names and tone.steps == 2:
            names.append(self._by_step(index, tone))
        if key is not None and self._class(tone) in key_pitch_classes(key):
            names.append(SCALE_TONE)
        elif not names and tone.steps and self._leads(index, tone):
            names.append(APPROACH)
        return names or [OUTSIDE], meant

    def _prepared(self, index: int, tone: Tone) -> str | None:
        """What a suspension was: a tone of the chord before, which is struck again and then steps away."""
        if not index or not self.line[index].turns or not self._leads(index, tone):
            return None
        earlier = self.line[index - 1]
        again = any(other.midi == tone.midi for other in earlier.tones)
        return self._meaning(earlier.chord, tone) if again else None

    def _anticipated(self, index: int, tone: Tone) -> str | None:
        """What an anticipation will be: a tone of the next chord, which comes within a beat. It sounds on or
        is struck again, unless it is left by a leap or reached by one."""
        if index + 1 == len(self.line) or not self.line[index + 1].turns:
            return None
        following = self.line[index + 1]
        again = any(other.midi == tone.midi for other in following.tones) or tone.end > following.onset
        if following.onset - self.line[index].onset > _EARLY or not (again or tone.steps < 2):
            return None
        return self._meaning(following.chord, tone)

    def _held_over(self, index: int, tone: Tone) -> bool:
        """Whether a note sounds on into a chord that it is foreign to, and then steps down."""
        for number, stroke in enumerate(self.line[index + 1 :], index + 1):
            if stroke.onset >= tone.end:
                break
            if stroke.turns and stroke.chord and self._class(tone) not in _tones(stroke.chord):
                return self._falls(number, tone)
        return False

    def _falls(self, number: int, tone: Tone) -> bool:
        """Whether the line goes on a step below a note once it ends, from a stroke on."""
        after = next((stroke for stroke in self.line[number:] if stroke.onset >= tone.end), None)
        return after is not None and any(1 <= tone.midi - other.midi <= _STEP for other in after.tones)

    def _meaning(self, chord: Chord | None, tone: Tone) -> str | None:
        """What a note is in another chord; None if it is no tone of it."""
        found = chords.tone(chord, self._class(tone)) if chord else None
        if chord is None or found is None:
            return None
        return f"{_interval(chord, self._class(tone), found[1])} of {chord.text}"

    def _is_blue(self, tone: Tone, key: Key) -> bool:
        """Whether a note is the flat third, fifth or seventh of a blues, the flat fifth of a minor key, or
        one of these reached by a bend of less than a semitone."""
        semitones = self._class(tone)
        if semitones not in blue_notes(key) - pentatonic(key):
            return False
        fraction = any(t.value is not None and t.value % 1 for t in tone.note.techniques)
        return has_minor_third(key) or self._blues.get(key, False) or fraction

    def _letter(self, index: int, tone: Tone, chord: Chord | None, key: Key | None, *, blue: bool) -> str:
        """The name of what sounds: as the chord spells it, a blue note by its degree, else as the key does
        in the light of where the line goes."""
        semitones = self._class(tone)
        found = chords.tone(chord, semitones) if chord else None
        if found:
            return found[1]
        if blue and key is not None:
            tonic = place(key.step, key.alter)
            degree = _BLUE_DEGREES.get((semitones - pitch_class(tonic)) % 12)
            if degree:
                return letter(tonic + degree_place(degree))
        in_key = key is not None and semitones in key_pitch_classes(key)
        then = None if in_key else self._semitone_on(index, tone)
        return spell(tone.midi - self.heard, key, then=then).letter

    def _semitone_on(self, index: int, tone: Tone) -> int:
        """The step to the next note where it is a semitone, else 0."""
        if index + 1 == len(self.line):
            return 0
        step = _nearest(tone, self.line[index + 1].tones) - tone.midi
        return step if abs(step) == 1 else 0

    def _by_step(self, index: int, tone: Tone) -> str:
        before = _nearest(tone, self.line[index - 1].tones)
        after = _nearest(tone, self.line[index + 1].tones)
        return PASSING if (before < tone.midi) == (tone.midi < after) else NEIGHBOUR

    def _leads(self, index: int, tone: Tone) -> bool:
        """Whether the note steps into the one after it."""
        if index + 1 == len(self.line):
            return False
        return 1 <= abs(_nearest(tone, self.line[index + 1].tones) - tone.midi) <= _STEP


def _keys(line: Sequence[Stroke]) -> set[Key]:
    return {tone.bar.key for stroke in line for tone in stroke.tones[:1] if tone.bar.key}


def _tones(chord: Chord | None) -> frozenset[int]:
    return chords.pitch_classes(chord) if chord else frozenset()


@lru_cache(maxsize=4096)
def _interval(chord: Chord, semitones: int, name: str) -> str:
    """A note's interval above the root: as the chord's degrees have it (a ninth is one), else within an
    octave."""
    found = chords.tone(chord, semitones)
    if found and found[0] != "bass":
        return interval_words(found[0])
    return interval_above(chord.root, name)


@lru_cache(maxsize=1024)
def _degree(name: str, key: Key) -> str:
    return degree_of_key(degree_at(place(key.step, key.alter), place_of_letter(name)), key)


def _nearest(tone: Tone, others: Sequence[Tone]) -> int:
    """The pitch in another stroke from where the line comes or to where it goes: on the same string, else
    the one that lies nearest, but not on, the note."""
    moved = [other for other in others if other.midi != tone.midi]
    nearest = min(moved, key=lambda o: (o.string != tone.string, abs(o.midi - tone.midi)), default=tone)
    return nearest.midi


@lru_cache(maxsize=64)
def pentatonic(key: Key) -> frozenset[int]:
    """The pentatonic of a key in semitones above C; the whole key where it has none."""
    name = pentatonic_name(key)
    if name is None:
        return key_pitch_classes(key)
    tonic = pitch_class(place(key.step, key.alter))
    return frozenset((tonic + semitones) % 12 for semitones in SCALES[name].semitones)
