"""Chord symbols: from text and MusicXML to root, quality and bass, and what follows from them."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from tabtools.record import NamedTuple
from tabtools.theory.intervals import interval_words
from tabtools.theory.line_of_fifths import (
    degree_parts,
    degree_place,
    letter,
    pitch_class,
    place,
    place_of_letter,
    step_alter,
)
from tabtools.theory.names import NOTE_NAMES, SOL_FA, NoteName, leading_names, plain_accidentals
from tabtools.theory.qualities import (
    NO_CHORD,
    QUALITIES,
    DegreeChange,
    Quality,
    quality_of_kind,
    quality_of_suffix,
)

_NUMBER_WORDS = {
    1: "root",
    2: "second",
    3: "third",
    4: "fourth",
    5: "fifth",
    6: "sixth",
    7: "seventh",
    9: "ninth",
    11: "eleventh",
    13: "thirteenth",
}


class Chord(NamedTuple):
    """A chord symbol understood. ``text`` is as written; ``bass`` is the note after the slash.

    Where no chord is to sound (N.C.) the quality's kind is ``none``; it has no tones, and C for a root.
    """

    root_step: str
    root_alter: int
    quality: Quality
    bass: NoteName | None
    text: str

    @property
    def root(self) -> str:
        """The root's name, as in ``F#``."""
        return letter(place(self.root_step, self.root_alter))


@lru_cache(maxsize=4096)
def parse_chord(text: str) -> Chord | None:
    """The chord that the whole of a text names, or None.

    Roots are A to G with at most one sharp or flat, sol-fa (``Lam``, ``SOL7``) or German (``Fism``, ``H7``);
    B is always B natural. Common practice, no source.
    """
    if text in (NO_CHORD.suffix, *NO_CHORD.spellings):
        return Chord("C", 0, NO_CHORD, None, text)
    symbol, slash, bass = plain_accidentals(text).rpartition("/")
    if not slash or bass not in NOTE_NAMES:
        return _chord(plain_accidentals(text), None, text)
    return _chord(symbol, NOTE_NAMES[bass], text)


def _chord(symbol: str, bass: NoteName | None, text: str) -> Chord | None:
    for name, suffix in leading_names(symbol):
        # Remi and Mimi are words; min says it as well.
        if name in SOL_FA and suffix.startswith("mi") and not suffix.startswith("min"):
            continue
        quality = quality_of_suffix(suffix)
        if quality is not None:
            step, alter = NOTE_NAMES[name]
            return Chord(step, alter, quality, bass, text)
    return None


def symbol(chord: Chord) -> str:
    """The canonical text of a chord: ``Cmaj7`` for ``C△7``, ``Am`` for ``Lam``."""
    if chord.quality.kind == "none":
        return chord.quality.suffix
    bass = "/" + letter(place(*chord.bass)) if chord.bass else ""
    return chord.root + chord.quality.suffix + bass


def tones(chord: Chord) -> tuple[tuple[str, str], ...]:
    """Degree and spelled note of each chord tone, root first; a bass after a slash is not among them.

    ``D7`` gives ``("1", "D"), ("3", "F#"), ("5", "A"), ("b7", "C")``.
    """
    root = place(chord.root_step, chord.root_alter)
    return tuple((name, letter(root + degree_place(name))) for name in chord.quality.degrees)


@lru_cache(maxsize=4096)
def pitch_classes(chord: Chord) -> frozenset[int]:
    """The notes of a chord, its bass included, as semitones above C."""
    root = place(chord.root_step, chord.root_alter)
    classes = {pitch_class(root + degree_place(name)) for name in chord.quality.degrees}
    if chord.bass:
        classes.add(pitch_class(place(*chord.bass)))
    return frozenset(classes)


@lru_cache(maxsize=4096)
def tone(chord: Chord, pitch: int) -> tuple[str, str] | None:
    """Degree and spelled note of a pitch class in a chord, or None.

    A bass after a slash that is no chord tone has the degree ``bass``.
    """
    names = {pitch_class(place_of_letter(note)): (name, note) for name, note in reversed(tones(chord))}
    if chord.bass:
        bass_place = place(*chord.bass)
        names.setdefault(pitch_class(bass_place), ("bass", letter(bass_place)))
    return names.get(pitch)


def role(chord: Chord, pitch: int) -> str | None:
    """What a pitch class is in a chord: ``root``, ``minor third``, ``diminished fifth``, ``major ninth``,
    ``bass``; or None.

    ``bass`` is a note after the slash that is no chord tone.
    """
    found = tone(chord, pitch)
    if found is None or found[0] == "bass":
        return found and "bass"
    return interval_words(found[0])


def degree_words(name: str) -> str:
    """A degree in words: ``flat sixth`` for b6, ``root`` for 1."""
    number, alter = degree_parts(name)
    sign = "flat" if alter < 0 else "sharp"
    return " ".join([sign] * abs(alter) + [_NUMBER_WORDS[number]])


def musicxml_kind(chord: Chord) -> tuple[str, tuple[DegreeChange, ...]]:
    """The MusicXML kind-value of a chord, and the degrees that it needs beyond that kind."""
    return chord.quality.kind, chord.quality.changes


# Values of the type kind-value (MusicXML 4.0) that name what a chord does, and that no chord symbol says.
UNSAID_KINDS = ("Neapolitan", "Italian", "French", "German", "pedal", "Tristan")


def chord_from_musicxml(
    root_step: str,
    root_alter: int,
    kind: str,
    degrees: Sequence[DegreeChange] = (),
    bass: NoteName | None = None,
) -> str | None:
    """The canonical chord symbol of a MusicXML harmony; None where no symbol says it.

    No symbol says the kinds of UNSAID_KINDS. A root or bass with a
    double accidental gets its simpler name.
    """
    quality = quality_of_kind(kind, degrees)
    if quality is None:
        return None
    step, alter = _simple(root_step, root_alter)
    return symbol(Chord(step, alter, quality, _simple(*bass) if bass else None, ""))


def _simple(step: str, alter: int) -> NoteName:
    """The same sound with at most one accidental; twelve fifths make seven octaves."""
    fifths = place(step, alter)
    while abs(step_alter(fifths)[1]) > 1:
        fifths -= 12 if fifths > 0 else -12
    return step_alter(fifths)


def nearest_known(text: str) -> str | None:
    """The chord symbol that a misspelled one comes closest to; None where none is close."""
    from difflib import get_close_matches  # only for messages, and slow to import

    for name, _ in leading_names(plain_accidentals(text)):
        root = letter(place(*NOTE_NAMES[name]))
        symbols = {name + row.suffix: root + row.suffix for row in QUALITIES}
        close = get_close_matches(text, symbols, n=1, cutoff=0.6)
        if close:
            return symbols[close[0]]
    return None
