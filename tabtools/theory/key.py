"""Keys and modes: signatures, notes, and the texts that name them."""

from __future__ import annotations

from functools import cache, lru_cache

from tabtools.score import Key
from tabtools.theory.line_of_fifths import pitch_class, place, step_alter
from tabtools.theory.names import GERMAN, NOTE_NAMES, leading_names, plain_accidentals

# Fifths from the major tonic with the same signature to the tonic of the mode. Common practice.
_TONIC = {
    "major": 0,
    "ionian": 0,
    "minor": 3,
    "aeolian": 3,
    "dorian": 2,
    "phrygian": 4,
    "lydian": -1,
    "mixolydian": 1,
    "locrian": 5,
}
MODES = tuple(_TONIC)

_GERMAN_MODES = {"dur": "major", "moll": "minor"}
# English, Spanish, Portuguese, French, Italian, German.
_MODE_WORDS = {
    word: mode
    for mode, words in {
        "major": "major maj mayor maior majeur maggiore",
        "minor": "minor min m menor mineur minore",
        "ionian": "ionian jónico jonico jônico ionien ionico ionisch",
        "dorian": "dorian dor dórico dorico dorio dorien dorisch",
        "phrygian": "phrygian phryg frigio frígio phrygien phrygisch",
        "lydian": "lydian lyd lidio lídio lydien lydisch",
        "mixolydian": "mixolydian mixo mixolyd mixolidio mixolídio mixolydien misolidio mixolydisch",
        "aeolian": "aeolian eólico eolico eólio eolio éolien eolien äolisch",
        "locrian": "locrian locrio lócrio locrien lokrisch",
    }.items()
    for word in words.split()
} | _GERMAN_MODES
_ACCIDENTAL_WORDS = {
    **dict.fromkeys(("sharp", "sostenido", "sustenido", "dièse", "diese", "diesis"), 1),
    **dict.fromkeys(("flat", "bemol", "bémol", "bemolle"), -1),
}


def fifths(key: Key) -> int:
    """The key signature: number of sharps, negative for flats. Raises ValueError for an unknown mode."""
    return place(key.step, key.alter) - _tonic(key.mode)


def has_minor_third(key: Key) -> bool:
    """Whether the mode has a minor third over its tonic. Raises ValueError for an unknown mode."""
    return _tonic(key.mode) >= _tonic("dorian")


def key_from_fifths(number: int, mode: str) -> Key:
    """The key of a mode with a signature of ``number`` sharps, negative for flats.

    Raises ValueError for an unknown mode.
    """
    step, alter = step_alter(number + _tonic(mode))
    return Key(step, alter, mode)


@cache
def plainest_key(tonic: int, mode: str) -> Key:
    """The key on a pitch class (semitones above C) with the fewest accidentals; six sharps before six flats.

    Raises ValueError for an unknown mode.
    """
    keys = (key_from_fifths(number, mode) for number in sorted(range(-5, 7), key=lambda n: (abs(n), -n)))
    return next(key for key in keys if pitch_class(place(key.step, key.alter)) == tonic)


@lru_cache(maxsize=256)
def pitch_classes(key: Key) -> frozenset[int]:
    """The seven notes of a key as semitones above C; natural minor for minor."""
    first = fifths(key) - 1
    return frozenset(pitch_class(fifth) for fifth in range(first, first + 7))


_KINDS_OF_MINOR = ("harmonic", "melodic", "natural")


def parse_key(text: str) -> Key | None:
    """The key that the whole of a text names, or None.

    Reads ``A``, ``Am``, ``F# minor``, ``B flat major``, ``E dorian``, ``La menor``, ``Si bemol mayor``,
    ``fis-Moll`` (and ``B-Dur``, which is B flat), and ``A harmonic minor`` as A minor. A tonic in small
    letters needs its mode as a word.
    """
    first, *words = plain_accidentals(text).replace("-", " ").split() or [""]
    capital = first[:1].upper() + first[1:]
    accidental = _ACCIDENTAL_WORDS.get(words[0].lower()) if words else None
    if accidental is not None:
        words = words[1:]
    if words[1:] and words[0].lower() in _KINDS_OF_MINOR and _MODE_WORDS.get(words[1].lower()) == "minor":
        words = words[1:]
    word = words[0].lower() if words else ""
    if len(words) > 1 or (word and word not in _MODE_WORDS) or (first != capital and not word):
        return None
    for name, attached in leading_names(capital):
        mode = _mode(attached, word, accidental is not None)
        if mode is None or not _allowed(name, first, attached, word):
            continue
        step, alter = NOTE_NAMES[name]
        if name == "B" and word in _GERMAN_MODES:
            alter = -1
        if alter and accidental is not None:
            continue
        return Key(step, alter + (accidental or 0), mode)
    return None


def _mode(attached: str, word: str, accidental: bool) -> str | None:
    """The mode of a name with a suffix written on to it or with a word after it, not both."""
    if attached:
        return None if word or accidental else {"m": "minor", "min": "minor", "maj": "major"}.get(attached)
    return _MODE_WORDS[word] if word else "major"


def _allowed(name: str, first: str, attached: str, word: str) -> bool:
    """German names are words of other languages too (As, Es, Des), so they must name their mode."""
    if name not in GERMAN:
        return True
    return word in _GERMAN_MODES or (first[0].isupper() and bool(attached or word))


def _tonic(mode: str) -> int:
    try:
        return _TONIC[mode]
    except KeyError:
        raise ValueError(f"unknown mode: {mode!r}") from None
