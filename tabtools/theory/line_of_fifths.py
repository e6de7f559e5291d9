"""The line of fifths, … Bb F C G D A E B F# …: one number for every note name and every degree.

A note name's place counts fifths from C (F is -1, G is 1, F# is 6), a degree's place counts them from its
root (5 is 1, b3 is -3). So spelling is addition: the b3 of D is at 2 - 3 = -1, which is F.
Common practice, no source.
"""

from __future__ import annotations

from functools import cache, lru_cache

_NATURALS = "FCGDAEB"
_STEPS = "CDEFGAB"
_MAJOR = (0, 2, 4, -1, 1, 3, 5)
_MAJOR_SEMITONES = (0, 2, 4, 5, 7, 9, 11)


def place(step: str, alter: int) -> int:
    """Fifths from C of a note name; ``alter`` in semitones. Raises ValueError for a step outside A to G."""
    return _NATURALS.index(step) - 1 + 7 * alter


def step_alter(fifths: int) -> tuple[str, int]:
    """The note name at a place: step and alteration in semitones."""
    alter, index = divmod(fifths + 1, 7)
    return _NATURALS[index], alter


def letter(fifths: int) -> str:
    """The note name at a place as text: ``F#``, ``Bb``, ``C``."""
    step, alter = step_alter(fifths)
    return step + ("#" * alter if alter > 0 else "b" * -alter)


@lru_cache(maxsize=256)
def place_of_letter(name: str) -> int:
    """Fifths from C of a note name as text. Raises ValueError for anything but a letter with # or b."""
    step, accidentals = name[:1], name[1:]
    if not step or step not in _NATURALS or accidentals.strip(accidentals[:1]) or accidentals[:1] not in "#b":
        raise ValueError(f"not a note name: {name!r}")
    return place(step, accidentals.count("#") - accidentals.count("b"))


def pitch_class(fifths: int) -> int:
    """Semitones above C, 0 to 11, of the name at a place."""
    return 7 * fifths % 12


def degree_parts(name: str) -> tuple[int, int]:
    """Number and alteration of a degree name, against the major scale: ``b3`` is 3 and -1."""
    number = name.lstrip("b#")
    signs = name[: len(name) - len(number)]
    return int(number), signs.count("#") - signs.count("b")


def degree_name(number: int, alter: int) -> str:
    """The name of a degree: 3 and -1 give ``b3``."""
    return ("#" * alter if alter > 0 else "b" * -alter) + str(number)


@cache
def degree_place(name: str) -> int:
    """Fifths from the root of a degree; 9, 11 and 13 lie where 2, 4 and 6 do."""
    number, alter = degree_parts(name)
    return _MAJOR[(number - 1) % 7] + 7 * alter


@cache
def degree_semitones(name: str) -> int:
    """Semitones above the root of a degree, octaves kept: ``b3`` is 3, ``9`` is 14."""
    number, alter = degree_parts(name)
    octaves, index = divmod(number - 1, 7)
    return 12 * octaves + _MAJOR_SEMITONES[index] + alter


def degree_at(tonic: int, fifths: int) -> str:
    """The degree, 1 to 7 with its alteration, of the note at one place over the tonic at another."""
    steps = _STEPS.index(step_alter(fifths)[0]) - _STEPS.index(step_alter(tonic)[0])
    number = steps % 7 + 1
    return degree_name(number, (fifths - tonic - _MAJOR[number - 1]) // 7)
