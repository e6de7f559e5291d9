"""The ``notations`` of a note: ties, slurs, slides and everything that says how it is played."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from tabtools.musicxml.marks import FALLING, MARKS
from tabtools.musicxml.writing.fragment import Fragment, decimal, tag
from tabtools.musicxml.writing.links import Ends
from tabtools.record import NamedTuple
from tabtools.score import Note, Technique

# Written elsewhere: as joins of two notes, note heads, dashed lines or grace notes.
_ELSEWHERE = frozenset({"hammer", "pull", "slide", "tie", "dead", "ghost", "palm-mute", "let-ring"})
_BENDS = frozenset({"bend", "bend-release", "prebend", "prebend-release"})
_HARMONICS = {"harmonic": ("natural", "touching-pitch"), "artificial": ("artificial", "base-pitch")}
_JOIN_ELEMENTS = {"hammer": ("hammer-on", "H"), "pull": ("pull-off", "P")}


class _Group(NamedTuple):
    """A child of ``notations`` and what stands in it."""

    name: str
    elements: tuple[Fragment, ...]


def joins(ends: Ends, number: int, first: bool, last: bool) -> Iterator[Fragment]:
    """The slurs and slides at a piece of a note, stops before starts. ``number`` tells the string."""
    for kind, names in (("stop", ends.stops if first else ()), ("start", ends.starts if last else ())):
        for name in names:
            if name in ("slur", "slide"):
                yield tag(name, type=kind, number=number)


def ties(note: Note, tied: bool, ends: Ends, first: bool, last: bool) -> list[str]:
    """The types of the ties at a piece of a note: ``stop``, ``start``, ``let-ring``."""
    types = []
    if tied or not first:
        types.append("stop")
    if "tie" in ends.starts or not last:
        types.append("start")
    if last and note.has("let-ring"):
        types.append("let-ring")
    return types


def groups(note: Note, ends: Ends, number: int, first: bool, last: bool, tab: bool) -> Iterator[Fragment]:
    """``technical``, ``ornaments`` and ``articulations`` of a piece of a note.

    String and fret stand on the tab staff, the finger on the notation staff, and so does a fret without
    a string.
    """
    technical = list(_legato(ends, number, first, last))
    if first:
        for technique in note.techniques:
            for group in _technique(technique):
                if group.name == "technical":
                    technical += group.elements
                else:
                    yield tag(group.name, *group.elements)
        technical += (_other(name) for name in ends.lost if name != "tie")
        if note.finger and not tab:
            technical.append(tag("fingering", note.finger))
    if tab or note.string is None:
        technical += _string_and_fret(note)
    if technical:
        yield tag("technical", *technical)


def _string_and_fret(note: Note) -> tuple[Fragment, ...]:
    """Where a note is played; what is not known is left out, and a dead note is put at fret 0."""
    dead = note.string is not None and (note.pitch is None or note.has("dead"))
    return _place(note.string, 0 if note.fret is None and dead else note.fret)


@lru_cache(maxsize=512)
def _place(string: int | None, fret: int | None) -> tuple[Fragment, ...]:
    pairs = (("string", string), ("fret", fret))
    return tuple(tag(name, value) for name, value in pairs if value is not None)


def _legato(ends: Ends, number: int, first: bool, last: bool) -> Iterator[Fragment]:
    for kind, names in (("stop", ends.stops if first else ()), ("start", ends.starts if last else ())):
        for name in names:
            if name in _JOIN_ELEMENTS:
                element, label = _JOIN_ELEMENTS[name]
                text = (label,) if kind == "start" else ()
                yield tag(element, *text, type=kind, number=number)


@lru_cache(maxsize=512)
def _technique(technique: Technique) -> tuple[_Group, ...]:
    """The elements that say a technique."""
    name, value = technique.name, technique.value
    if name in _ELSEWHERE:
        return ()
    if name in _BENDS and value is not None:
        return (_Group("technical", tuple(_bends(technique))),)
    if name in _HARMONICS:
        return (_Group("technical", (_harmonic(*_HARMONICS[name]),)),)
    if name == "pinch":
        # An artificial harmonic in all but name; the word tells the two apart.
        return (_Group("technical", (_harmonic("artificial", "base-pitch"), _other(name))),)
    if name == "vibrato":
        wave = (tag("wavy-line", type=kind, number=1) for kind in ("start", "stop"))
        return (_Group("ornaments", tuple(wave)),)
    word = _Group("technical", (_other(technique.word),))
    if name not in MARKS:
        return (word,)
    mark = FALLING[name] if technique.falling and name in FALLING else MARKS[name]
    text = (mark.text,) if mark.text else ()
    marked = _Group(mark.group, (tag(mark.element, *text, **dict(mark.attributes)),))
    return (marked,) if value is None else (marked, word)


def _bends(technique: Technique) -> Iterator[Fragment]:
    """The bend and its release, in semitones: both a pre-bend and a release carry the negative amount."""
    assert technique.value is not None
    up, down = decimal(technique.value), decimal(-technique.value)
    if technique.name.startswith("prebend"):
        yield tag("bend", tag("bend-alter", down), tag("pre-bend"))
    else:
        yield tag("bend", tag("bend-alter", up))
    if technique.name.endswith("release"):
        yield tag("bend", tag("bend-alter", down), tag("release"))


def _harmonic(kind: str, pitch: str) -> Fragment:
    return tag("harmonic", tag(kind), tag(pitch))


def _other(text: str) -> Fragment:
    return tag("other-technical", text)
