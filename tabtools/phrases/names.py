"""Keys, chord symbols and notes moved along the line of fifths: spelling is addition there."""

from __future__ import annotations

from tabtools.record import NamedTuple
from tabtools.score import Key, Pitch
from tabtools.theory.chord import parse_chord
from tabtools.theory.key import plainest_key
from tabtools.theory.line_of_fifths import letter, pitch_class, place, step_alter
from tabtools.theory.names import leading_names, plain_accidentals
from tabtools.theory.qualities import quality_of_suffix

_ENHARMONIC = 12  # fifths between two names of one sound
_FARTHEST = 6  # fifths that an interval without a key goes, either way


class Interval(NamedTuple):
    """How far music moves: ``semitones`` up, and ``fifths`` along the line of fifths, which spell it."""

    semitones: int
    fifths: int

    @property
    def words(self) -> str:
        """As in ``up 3 semitones``."""
        if not self.semitones:
            return "at the same pitch"
        way = "up" if self.semitones > 0 else "down"
        count = abs(self.semitones)
        return f"{way} {count} semitone{'' if count == 1 else 's'}"


UNISON = Interval(0, 0)


def interval_by(semitones: int, key: Key | None) -> Interval:
    """The interval of so many semitones, spelled so that ``key`` comes to the key with the fewest
    accidentals; without a key by at most six fifths."""
    if key is None:
        fifths = 7 * semitones % _ENHARMONIC
        return Interval(semitones, fifths if fifths <= _FARTHEST else fifths - _ENHARMONIC)
    tonic = place(key.step, key.alter)
    moved = plainest_key((pitch_class(tonic) + semitones) % 12, key.mode)
    if not semitones % 12:
        return Interval(semitones, 0)
    return Interval(semitones, place(moved.step, moved.alter) - tonic)


def interval_to(start: Key, target: Key) -> Interval:
    """The interval from the tonic of one key to that of another, the shorter way; a tritone goes up."""
    fifths = place(target.step, target.alter) - place(start.step, start.alter)
    semitones = pitch_class(fifths)
    return Interval(semitones if semitones <= 6 else semitones - 12, fifths)


def moved_key(key: Key, interval: Interval) -> Key:
    """A key that far away, in the same mode."""
    step, alter = step_alter(_simple(place(key.step, key.alter) + interval.fifths))
    return Key(step, alter, key.mode)


def moved_chord(symbol: str, interval: Interval) -> str | None:
    """A chord symbol that far away, its suffix as it is written; None for a text that is no chord symbol."""
    chord = parse_chord(symbol)
    if chord is None:
        return None
    if not interval.fifths or not chord.quality.degrees:
        return symbol
    head, slash, _ = plain_accidentals(symbol).rpartition("/")
    text = head if slash and chord.bass else plain_accidentals(symbol)
    suffix = next((rest for _, rest in leading_names(text) if quality_of_suffix(rest) == chord.quality), "")
    root = _moved_name(chord.root_step, chord.root_alter, interval)
    return root + suffix + (f"/{_moved_name(*chord.bass, interval)}" if chord.bass else "")


def moved_pitch(pitch: Pitch, interval: Interval) -> Pitch:
    """A pitch that far away, spelled by the interval; one with more than two accidentals by another name."""
    fifths = place(pitch.step, pitch.alter) + interval.fifths
    while abs(step_alter(fifths)[1]) > 2:
        fifths -= _ENHARMONIC if fifths > 0 else -_ENHARMONIC
    step, alter = step_alter(fifths)
    natural = Pitch(step, alter, 0).midi
    return Pitch(step, alter, (pitch.midi + interval.semitones - natural) // 12)


def _moved_name(step: str, alter: int, interval: Interval) -> str:
    return letter(_simple(place(step, alter) + interval.fifths))


def _simple(fifths: int) -> int:
    """The same sound with at most one accidental."""
    while abs(step_alter(fifths)[1]) > 1:
        fifths -= _ENHARMONIC if fifths > 0 else -_ENHARMONIC
    return fifths
