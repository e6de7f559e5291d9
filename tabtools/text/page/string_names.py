"""Open strings as people spell them: letters, letters with octave, sol-fa, German names."""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache

from tabtools.record import NamedTuple
from tabtools.text.patterns import lazy
from tabtools.theory.names import NOTE_NAMES

_SIGN = {-1: "b", 0: "", 1: "#"}
_LETTER = r"(?:[A-Ha-h](?:#|b|s(?![a-z])|♯|♭|is|es)?|[EeAa]s(?![a-z]))\d?"
_SOL_FA = r"(?:d[oó]|r[eé]|mi|fa|sol|la|si)(?:#|b)?"
# Four strings or more in one word, which is hardly another one.
_CAPITAL = r"[A-H](?:#|b|♯|♭)?"
BARE_TUNING = rf"(?-i:(?:[a-h]|{_CAPITAL})(?:{_CAPITAL}){{2,10}}(?:[a-h]|{_CAPITAL}))"
_SPELLED = lazy(rf"{_LETTER}(?:[ ,\-/]*{_LETTER}){{2,11}}(?=$|[ ).,;/])")
_SUNG = lazy(rf"{_SOL_FA}(?:[ ,\-/]+{_SOL_FA}){{2,11}}(?=$|[ ).,;/])", re.IGNORECASE)
_STRING = lazy(r"([A-Ha-h])(#|b|s|♯|♭|is|es)?(\d)?")
_ALTERED = {"#": 1, "♯": 1, "s": 1, "is": 1, "b": -1, "♭": -1, "es": -1}


class StringName(NamedTuple):
    """An open string as a header or a label names it: letter with accidental, octave where given; ``german``
    where only German has such a name."""

    letter: str
    octave: int | None = None
    lower: bool = False
    german: bool = False


def string_names(text: str) -> tuple[StringName, ...]:
    """Open strings spelled in a text, in its order: ``EADGBE``, ``D A D G B E``, ``Eb-Ab-Db-Gb-Bb-Eb``,
    ``Mi La Re Sol Si Mi``, ``E A D G H E``. Three or more; empty where the text begins otherwise."""
    text = text.strip().lstrip("([")
    if sung := _SUNG.match(text):
        return tuple(_named(word) for word in re.findall(_SOL_FA, sung.group(), re.IGNORECASE))
    match = _SPELLED.match(text)
    found = _STRING.findall(match.group()) if match else []
    return tuple(name for name in _in_german([_lettered(*parts) for parts in found]) if name is not None)


def label_names(labels: Sequence[str]) -> list[StringName | None]:
    """The strings that the labels of a system name, one for each."""
    digits = [label[-1:] for label in labels]
    upwards = [str(number) for number in range(1, len(labels) + 1)]
    if len(labels) > 1 and digits in (upwards, upwards[::-1]) and not any(map(str.isdigit, labels)):
        labels = [label[:-1] for label in labels]  # e1 B2 G3: the numbers of the strings, not octaves
    return _in_german([label_name(label) for label in labels])


def _in_german(names: list[StringName | None]) -> list[StringName | None]:
    """The names, where some are German ones, Es or Fis, with the German B, which is a semitone lower."""
    if not any(name and name.german for name in names):
        return names
    return [
        name._replace(letter="Bb") if name and name.letter == "B" and not name.german else name
        for name in names
    ]


@lru_cache(maxsize=256)
def label_name(label: str) -> StringName | None:
    """The string that a row label names; None for numbers and bare rows."""
    if not label or label.isdigit():
        return None
    if re.fullmatch(_SOL_FA, label, re.IGNORECASE):
        return _named(label)
    match = _STRING.fullmatch(label)
    return _lettered(*match.groups()) if match else None


def _named(word: str) -> StringName:
    step, alter = NOTE_NAMES[word[0].upper() + word[1:].lower()]
    return StringName(step + _SIGN[alter], lower=word[0].islower())


def _lettered(step: str, accidental: str | None, octave: str | None) -> StringName:
    alter = _ALTERED.get(accidental or "", 0)
    letter = step.upper()
    german = letter == "H" or accidental in ("is", "es")
    if letter in "EA" and accidental == "s":
        alter, german = -1, True
    if letter == "H":
        letter = "B"
    return StringName(letter + _SIGN[alter], int(octave) if octave else None, step.islower(), german)
