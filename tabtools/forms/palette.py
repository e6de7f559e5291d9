"""Colour for a scale: which notes the chords bring that the scale lacks, and where they lie."""

from __future__ import annotations

from collections.abc import Sequence

from tabtools.forms.neck import Stringing
from tabtools.record import NamedTuple
from tabtools.score import Key
from tabtools.theory import chord as chords
from tabtools.theory.chord import Chord
from tabtools.theory.harmony import pentatonic_name
from tabtools.theory.line_of_fifths import degree_at, letter, pitch_class, place, place_of_letter
from tabtools.theory.scale import SCALES, scale_notes

REACH = (-1, 4)  # frets that the hand reaches below and above a position


class Colour(NamedTuple):
    """A note that some chords have and the scale lacks.

    ``homes`` are the chords that have it, each with the note's role there; ``degree`` is that over the
    key's tonic; ``places`` are string and fret near the position, last string first.
    """

    note: str
    degree: str
    homes: tuple[tuple[str, str], ...]
    places: tuple[tuple[int, int], ...]


class Palette(NamedTuple):
    """A scale's name and notes, and the colours that the chords add to it, in the order of the chords."""

    scale: str
    notes: tuple[str, ...]
    colours: tuple[Colour, ...]


def scale_name(key: Key, asked: str) -> str:
    """The scale of a word like ``pentatonic`` in a key, or of a full name like ``minor pentatonic``.

    Raises ValueError for a scale that the table lacks.
    """
    mode = "minor" if pentatonic_name(key) == "minor pentatonic" else "major"
    names = {"pentatonic": f"{mode} pentatonic", "minor": "natural minor", "minor blues": "blues"}
    names["blues"] = "blues" if mode == "minor" else "major blues"
    name = names.get(asked, asked)
    if name not in SCALES:
        raise ValueError(f"unknown scale {asked!r}: use pentatonic, minor blues, {', '.join(SCALES)}")
    return name


def palette(neck: Stringing, key: Key, asked: str, symbols: Sequence[Chord], at: int) -> Palette:
    """What the chords add to a scale on the key's tonic, near a fret counted from the capo.

    Raises ValueError for a scale that the table lacks.
    """
    tonic = place(key.step, key.alter)
    name = scale_name(key, asked)
    notes = scale_notes(letter(tonic), name)
    inside = {_class(note) for note in notes}
    homes: dict[int, list[tuple[str, str]]] = {}
    spelled: dict[int, str] = {}
    for chord in symbols:
        for number in sorted(chords.pitch_classes(chord) - inside, key=lambda c: (c - _root(chord)) % 12):
            found, role = chords.tone(chord, number), chords.role(chord, number)
            if found is not None and role is not None:
                homes.setdefault(number, []).append((chord.text, role))
                spelled.setdefault(number, found[1])
    colours = [
        Colour(note, degree_at(tonic, place_of_letter(note)), tuple(homes[number]), _places(neck, number, at))
        for number, note in spelled.items()
    ]
    return Palette(name, notes, tuple(colours))


def _class(note: str) -> int:
    return pitch_class(place_of_letter(note))


def _root(chord: Chord) -> int:
    return pitch_class(place(chord.root_step, chord.root_alter))


def _places(neck: Stringing, number: int, at: int) -> tuple[tuple[int, int], ...]:
    low, high = REACH
    return tuple(
        (string, fret)
        for string in range(len(neck.lines), 0, -1)
        for fret in range(max(at + low, 0), min(at + high, neck.frets) + 1)
        if (neck.open_class(string) + fret - number) % 12 == 0
    )
