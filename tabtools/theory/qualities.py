"""The one table of chord qualities, and the way between suffix, degrees and MusicXML kind.

A quality is a set of degrees. A suffix is read into degrees, and degrees are written as a row of the table
plus the changes to it, both as a suffix and as a MusicXML ``kind`` with ``degree`` elements; so whatever is
recognised can also be encoded.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache
from typing import Literal

from tabtools.record import NamedTuple
from tabtools.theory.line_of_fifths import degree_name, degree_parts, degree_semitones


class DegreeChange(NamedTuple):
    """A MusicXML ``degree``: its value, alter and type.

    ``alter`` is in semitones: for ``add`` against a dominant chord (so 7 and 0 is a minor seventh), for
    ``alter`` against the degree that the kind has (MusicXML 4.0, degree-alter).
    """

    value: int
    alter: int
    type: Literal["add", "alter", "subtract"]


class Quality(NamedTuple):
    """A row of the table, or one derived from it by alterations.

    ``suffix`` is the canonical one, ``degrees`` are named against the major scale of the root, ``kind`` is
    a MusicXML kind-value, ``spellings`` are the other suffixes that mean the same.
    """

    suffix: str
    degrees: tuple[str, ...]
    kind: str
    spellings: tuple[str, ...] = ()

    @property
    def semitones(self) -> tuple[int, ...]:
        """Semitones above the root of each degree: 14 for a ninth."""
        return tuple(map(degree_semitones, self.degrees))

    @property
    def changes(self) -> tuple[DegreeChange, ...]:
        """The MusicXML degrees needed beyond the kind."""
        return _changes(_KIND_DEGREES.get(self.kind, ()), self.degrees)


_MINOR = ("m", "min", "mi", "-")
_MAJOR = ("maj", "M", "Maj", "ma", "Ma", "Δ", "^", "j")


def _row(suffix: str, degrees: str, kind: str, *spellings: str) -> Quality:
    """A row; MIN and MAJ in a spelling stand for all their signs."""
    written = [spelling.split() for spelling in spellings]
    return Quality(suffix, tuple(degrees.split()), kind, tuple(s for parts in written for s in _signs(parts)))


def _signs(parts: list[str]) -> list[str]:
    """Every way to write a spelling given in parts: ``MIN 7`` is ``m7``, ``min7`` and so on."""
    spellings = [""]
    for part in parts:
        signs = _MINOR if part == "MIN" else _MAJOR if part == "MAJ" else (part,)
        spellings = [spelling + sign for spelling in spellings for sign in signs]
    return spellings


# The first row of a kind has just the degrees of that kind. Degrees: MusicXML 4.0 kind-value for those
# rows, common practice for the others and for all spellings.
QUALITIES = (
    _row("", "1 3 5", "major", "maj", "M", "Maj", "major"),
    _row("m", "1 b3 5", "minor", "MIN", "minor"),
    _row("7", "1 3 5 b7", "dominant", "dom7"),
    _row("maj7", "1 3 5 7", "major-seventh", "MAJ 7", "Δ", "^", "7M"),
    _row("m7", "1 b3 5 b7", "minor-seventh", "MIN 7"),
    _row("5", "1 5", "power"),
    _row("sus4", "1 4 5", "suspended-fourth", "sus"),
    _row("sus2", "1 2 5", "suspended-second"),
    _row("dim", "1 b3 b5", "diminished", "°"),
    _row("aug", "1 3 #5", "augmented", "+"),
    _row("6", "1 3 5 6", "major-sixth"),
    _row("m6", "1 b3 5 6", "minor-sixth", "MIN 6"),
    _row("m7b5", "1 b3 b5 b7", "half-diminished", "ø", "ø7"),
    _row("dim7", "1 b3 b5 bb7", "diminished-seventh", "°7", "o7"),
    _row("m(maj7)", "1 b3 5 7", "major-minor", "MIN MAJ 7", "MIN Δ", "MIN 7M"),
    _row("aug7", "1 3 #5 b7", "augmented-seventh", "+7"),
    _row("9", "1 3 5 b7 9", "dominant-ninth", "dom9"),
    _row("maj9", "1 3 5 7 9", "major-ninth", "MAJ 9"),
    _row("m9", "1 b3 5 b7 9", "minor-ninth", "MIN 9"),
    _row("11", "1 3 5 b7 9 11", "dominant-11th"),
    _row("maj11", "1 3 5 7 9 11", "major-11th", "MAJ 11"),
    _row("m11", "1 b3 5 b7 9 11", "minor-11th", "MIN 11"),
    _row("13", "1 3 5 b7 9 11 13", "dominant-13th"),
    _row("maj13", "1 3 5 7 9 11 13", "major-13th", "MAJ 13"),
    _row("m13", "1 b3 5 b7 9 11 13", "minor-13th", "MIN 13"),
    _row("add9", "1 3 5 9", "major", "2"),
    _row("madd9", "1 b3 5 9", "minor"),
    _row("6/9", "1 3 5 6 9", "major-sixth"),
    _row("m6/9", "1 b3 5 6 9", "minor-sixth"),
    _row("7sus4", "1 4 5 b7", "suspended-fourth"),
    _row("7sus2", "1 2 5 b7", "suspended-second"),
    _row("9sus4", "1 4 5 b7 9", "suspended-fourth"),
    _row("13sus4", "1 4 5 b7 9 13", "suspended-fourth", "13sus"),
    _row("maj7sus4", "1 4 5 7", "suspended-fourth"),
    _row("maj7sus2", "1 2 5 7", "suspended-second"),
    _row("sus2sus4", "1 2 4 5", "suspended-fourth", "sus4sus2", "sus24", "sus42"),
    _row("maj7#5", "1 3 #5 7", "major-seventh", "+ MAJ 7", "aug MAJ 7"),
    _row("dim(maj7)", "1 b3 b5 7", "diminished", "dim MAJ 7", "° MAJ 7"),
    _row("m(maj9)", "1 b3 5 7 9", "major-minor", "MIN MAJ 9"),
    _row("9#5", "1 3 #5 b7 9", "augmented-seventh", "+9", "aug9"),
    _row("m9b5", "1 b3 b5 b7 9", "half-diminished", "ø9"),
    # The altered scale, seventh mode of melodic minor, as players of this symbol read it.
    _row("7alt", "1 3 b5 b7 b9 #9 b13", "dominant", "alt"),
)
NO_CHORD = Quality("N.C.", (), "none", ("NC", "N.C", "N/C", "n.c."))

# Words that may follow a row's suffix: what they do, and to which degree.
_WORDS: dict[str, tuple[str, str]] = {
    **{name: ("set", name) for name in ("b5", "#5", "b6", "b9", "#9", "#11", "b13")},
    **{f"add{name}": ("add", name) for name in ("6", "7", "9", "11", "13", "b6", "b9", "#9", "#11", "b13")},
    **{name: ("extend", name) for name in ("9", "11", "13")},
    **{way + name: ("no", name[0]) for way in ("no", "omit") for name in ("3", "5", "3rd", "5th")},
    "add2": ("add", "9"),
    "add4": ("add", "11"),
    "sus": ("sus", "4"),
    "sus4": ("sus", "4"),
    "sus2": ("sus", "2"),
}
# With a sign for the accidental, as in 7+5, only straight after a figure: C-5 could be a fingering.
_SIGNED = {"-5": "b5", "+5": "#5", "-9": "b9", "+9": "#9", "+11": "#11", "-13": "b13"}

_MARKS = str.maketrans({"△": "Δ", "∆": "Δ", "º": "°", "Ø": "ø", "−": "-"})
_SEPARATING = frozenset("(),/ ")
# Compiled when the first suffix with brackets comes, not on import.
_PAIRED = r"(?!/)[^(),/ ]*(?:/[0-9b#][^(),/ ]*|\([^(),/ ]+(?:(?:/|, ?)[^(),/ ]+)*\)[^(),/ ]*)*"


def _plain(suffix: str) -> str | None:
    """A suffix in plain signs without its brackets, commas and inner slashes; None if they don't pair."""
    plain = suffix.translate(_MARKS)
    if _SEPARATING.isdisjoint(plain):
        return plain
    return _unbracketed(plain) if re.fullmatch(_PAIRED, plain) else None


def _unbracketed(suffix: str) -> str:
    if _SEPARATING.isdisjoint(suffix):
        return suffix
    for mark in (", ", ",", "/", "(", ")"):
        suffix = suffix.replace(mark, "")
    return suffix


def _by_suffix() -> dict[str, Quality]:
    table: dict[str, Quality] = {}
    for row in QUALITIES:
        for spelling in (row.suffix, *row.spellings):
            plain = _unbracketed(spelling)
            if table.setdefault(plain, row) is not row:
                raise ValueError(f"two qualities are spelled {spelling!r}")
    return table


_KIND_DEGREES = {row.kind: row.degrees for row in reversed(QUALITIES)}
_BY_SUFFIX = _by_suffix()
_BY_DEGREES = {frozenset(row.degrees): row for row in QUALITIES}
_LONGEST = max(map(len, _BY_SUFFIX))


@lru_cache(maxsize=1024)
def quality_of_suffix(suffix: str) -> Quality | None:
    """The quality that a suffix names (what follows the root, without a bass), or None."""
    degrees = _degrees(suffix)
    return None if degrees is None else quality_of_degrees(degrees)


@lru_cache(maxsize=1024)
def quality_of_degrees(degrees: frozenset[str]) -> Quality | None:
    """The quality with these degrees, spelled with as few changes to a row as will do; None if none is."""
    if len(degrees) < 2:
        return None
    exact = _BY_DEGREES.get(degrees)
    if exact is not None:
        return exact
    ordered = tuple(sorted(degrees, key=lambda name: (degree_parts(name)[0], degree_semitones(name))))
    for row in sorted(QUALITIES, key=lambda row: len(_changes(row.degrees, ordered))):
        suffix = _suffix(row, ordered)
        if _degrees(suffix) == degrees:
            return Quality(suffix, ordered, row.kind)
    return None


def quality_of_kind(kind: str, changes: Iterable[DegreeChange]) -> Quality | None:
    """The quality of a MusicXML kind and its degrees; None where no chord symbol says it.

    ``other`` is built from its degrees alone, over a root. A second or fourth beside a third is read as
    the ninth or eleventh.
    """
    if kind == "none":
        return NO_CHORD
    degrees = ["1"] if kind == "other" else list(_KIND_DEGREES.get(kind, ()))
    if not degrees:
        return None
    for change in changes:
        present = [name for name in degrees if degree_parts(name)[0] == change.value]
        if present and change.type != "add":
            degrees.remove(present[0])
            alter = degree_parts(present[0])[1] + change.alter
        else:
            alter = change.alter - (change.value == 7)
        if change.type != "subtract":
            degrees.append(degree_name(change.value, alter))
    if any(degree_parts(name)[0] == 3 for name in degrees):
        degrees = [{"2": "9", "4": "11"}.get(name, name) for name in degrees]
    return quality_of_degrees(frozenset(degrees))


def _degrees(suffix: str) -> frozenset[str] | None:
    """The degrees that a suffix names: the longest row that it begins with and the words after it."""
    plain = _plain(suffix)
    if plain is None:
        return None
    for cut in range(min(len(plain), _LONGEST), -1, -1):
        row = _BY_SUFFIX.get(plain[:cut])
        words = _words(plain, cut) if row else None
        if row and words is not None:
            degrees = _applied(row.degrees, words)
            if degrees is not None:
                return degrees
    return None


def _words(plain: str, start: int) -> list[tuple[str, str]] | None:
    """The words from ``at`` to the end; None if anything else stands there."""
    words = []
    while start < len(plain):
        for cut in range(min(len(plain), start + 7), start, -1):
            word = plain[start:cut]
            if word in _SIGNED and plain[start - 1 : start].isdigit():
                word = _SIGNED[word]
            if word in _WORDS:
                words.append(_WORDS[word])
                start = cut
                break
        else:
            return None
    return words


def _applied(base: tuple[str, ...], words: list[tuple[str, str]]) -> frozenset[str] | None:
    """The degrees after the words; None for a word that says nothing here or contradicts the rest."""
    degrees = list(base)
    tensions = _carries_tensions(base)
    for action, name in words:
        number = degree_parts(name)[0]
        replaced = [n for n in base if degree_parts(n)[0] == number and n in degrees]
        if action == "sus":
            replaced = [n for n in degrees if n in ("3", "b3")]
        if (name in degrees and action != "no") or (action in ("no", "sus") and not replaced):
            return None
        if number > 7 and not tensions and action in ("set", "extend"):
            return None
        if action in ("set", "no", "sus") and replaced:
            degrees.remove(replaced[0])
        if action != "no":
            degrees.append(name)
    return frozenset(degrees)


def _changes(base: tuple[str, ...], target: tuple[str, ...]) -> tuple[DegreeChange, ...]:
    """What makes the degrees of ``target`` of those of ``base``, by number."""
    changes: list[DegreeChange] = []
    for number, have, want in _differences(base, target):
        for old, new in zip(have, want, strict=False):
            changes.append(DegreeChange(number, degree_parts(new)[1] - degree_parts(old)[1], "alter"))
        for new in want[len(have) :]:
            changes.append(DegreeChange(number, degree_parts(new)[1] + (number == 7), "add"))
        changes.extend(DegreeChange(number, 0, "subtract") for _ in have[len(want) :])
    return tuple(changes)


def _suffix(row: Quality, target: tuple[str, ...]) -> str:
    """The row's suffix with a word for each degree that differs."""
    words: list[str] = []
    for number, have, want in _differences(row.degrees, target):
        for new in want:
            altered = degree_parts(new)[1] != 0 and (number == 5 or _carries_tensions(row.degrees))
            words.append(new if have or altered else f"add{new}")
        words.extend(f"no{number}" for _ in have[len(want) :])
    # Straight after the root, a flat or sharp would belong to it.
    return row.suffix + "".join(words) if row.suffix else f"({','.join(words)})"


def _differences(
    base: tuple[str, ...], target: tuple[str, ...]
) -> Iterator[tuple[int, list[str], list[str]]]:
    """By degree number: the degrees that only ``base`` has and those that only ``target`` has."""
    for number in sorted({degree_parts(name)[0] for name in (*base, *target)}):
        have = [n for n in base if degree_parts(n)[0] == number and n not in target]
        want = [n for n in target if degree_parts(n)[0] == number and n not in base]
        yield number, have, want


def _carries_tensions(degrees: tuple[str, ...]) -> bool:
    """Whether b9, #11 and the like mean something without an ``add``: on sixths and sevenths."""
    return any(name in degrees for name in ("6", "b7", "7", "bb7"))
