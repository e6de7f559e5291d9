"""The ``note`` elements of one written value, on the notation staff or on the tab staff."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from tabtools.musicxml.order import CHILD_ORDER
from tabtools.musicxml.writing.fragment import Fragment, tag
from tabtools.musicxml.writing.links import Ends, is_tied
from tabtools.musicxml.writing.rhythm import Piece, is_grace
from tabtools.musicxml.writing.technical import groups, joins, ties
from tabtools.record import NamedTuple
from tabtools.score import Event, Instrument, Key, Note, Pitch, Tuplet
from tabtools.theory.duration import Value
from tabtools.theory.spelling import spell

_NOTHING = Ends()
_IN_NOTATIONS = frozenset(CHILD_ORDER["notations"])
_GRACE = (tag("grace", slash="yes"), tag("type", "eighth"))


class Staff(NamedTuple):
    """Where notes are written. ``number`` is None in a part with a single staff.

    ``voices`` is added to the voice numbers, ``levels`` to the numbers that pair slurs and the like.
    """

    number: int | None
    tab: bool = False
    voices: int = 0
    levels: int = 0


class Setting(NamedTuple):
    """What all notes of a bar share: the instrument, the key, the divisions of a quarter note, the
    accidentals to show by event and note, and what the ids of its notes begin with, None for no ids."""

    instrument: Instrument
    key: Key | None
    divisions: int
    accidentals: dict[tuple[int, int], str]
    ids: str | None = None


def rest(piece: Piece, voice: int, staff: Staff, setting: Setting) -> Fragment:
    """A rest; on the tab staff it takes its time unseen."""
    hidden = {"print_object": "no"} if staff.tab else {}
    if piece.whole_bar:
        duration = tag("duration", int(piece.value.duration * setting.divisions))
        return tag("note", tag("rest", measure="yes"), duration, *_place(voice, staff), **hidden)
    brackets = [*_brackets(piece, staff)]
    notations = (tag("notations", *brackets),) if brackets else ()
    shape = _shape(piece.value, piece.unit, setting.divisions)
    return tag("note", tag("rest"), *shape, *_place(voice, staff), *notations, **hidden)


def chord(
    event: Event, piece: Piece, ends: list[Ends | None], voice: int, staff: Staff, setting: Setting
) -> Iterator[Fragment]:
    """The notes of an event for one of its written values; on the tab staff only those that have a string.

    ``ends`` holds each note's joins.
    """
    place = _place(voice, staff)
    shape = _GRACE if is_grace(event) else _shape(piece.value, piece.unit, setting.divisions)
    later = False
    for number, note in enumerate(event.notes):
        if staff.tab and note.string is None:
            continue
        parts = [*shape, *place, sound(note, setting)]
        if later:
            parts.append(tag("chord"))
        else:
            parts += _first_of_chord(piece, staff)
        accidental = setting.accidentals.get((piece.event or 0, number))
        if accidental and piece.first and not staff.tab:
            parts.append(tag("accidental", accidental))
        level = ((note.string or number + 1) - 1) % 8 + 1 + staff.levels
        parts += _played(note, ends[number] or _NOTHING, piece, level, staff)
        later = True
        named = setting.ids is not None and piece.first and not staff.tab
        yield _note(parts, {"id": f"{setting.ids}.{piece.event}.{number}"} if named else {})


def _note(parts: list[Fragment], attributes: dict[str, str]) -> Fragment:
    """The note, with all that belongs in ``notations`` put there."""
    notations = [part for part in parts if part.name in _IN_NOTATIONS]
    others = [part for part in parts if part.name not in _IN_NOTATIONS]
    if notations:
        others.append(tag("notations", *notations))
    return tag("note", *others, **attributes)


def _played(note: Note, ends: Ends, piece: Piece, level: int, staff: Staff) -> Iterator[Fragment]:
    """Ties, note head, notations and mute."""
    for kind in ties(note, is_tied(note), ends, piece.first, piece.last):
        yield tag("tied", type=kind)
        if kind != "let-ring":
            yield tag("tie", type=kind)
    yield from joins(ends, level, piece.first, piece.last)
    yield from groups(note, ends, level, piece.first, piece.last, staff.tab)
    dead = note.pitch is None or note.has("dead")
    if dead or note.has("ghost"):
        brackets = {"parentheses": "yes"} if note.has("ghost") else {}
        yield tag("notehead", "x" if dead else "normal", **brackets)
    if note.has("palm-mute") and piece.first and not staff.tab:
        yield tag("play", tag("mute", "palm"))


def _first_of_chord(piece: Piece, staff: Staff) -> Iterator[Fragment]:
    """What a chord has once: beams and tuplet brackets."""
    if not staff.tab:
        for level, word in enumerate(piece.beams, 1):
            yield tag("beam", word, number=level)
    yield from _brackets(piece, staff)


def _brackets(piece: Piece, staff: Staff) -> Iterator[Fragment]:
    for kind in piece.brackets:
        if kind == "stop":
            yield tag("tuplet", type="stop", number=1)
        elif staff.tab:
            yield tag("tuplet", type="start", number=1, bracket="no", show_number="none")
        else:
            yield tag("tuplet", type="start", number=1, bracket="yes")


def sound(note: Note, setting: Setting) -> Fragment:
    """The pitch; a dead note has that of its open string, and without a string none at all."""
    pitch, instrument = note.pitch, setting.instrument
    if pitch is None:
        if note.string is None or not 1 <= note.string <= len(instrument.tuning):
            return tag("unpitched")
        pitch = spell(instrument.midi(note.string, note.fret or 0), setting.key)
    return pitch_fragment(pitch)


@lru_cache(maxsize=512)
def pitch_fragment(pitch: Pitch) -> Fragment:
    """A pitch as it is written."""
    alter = (tag("alter", pitch.alter),) if pitch.alter else ()
    return tag("pitch", tag("step", pitch.step), *alter, tag("octave", pitch.octave))


@lru_cache(maxsize=64)
def _place(voice: int, staff: Staff) -> tuple[Fragment, ...]:
    fragments = [tag("voice", voice + staff.voices)]
    if staff.number is not None:
        fragments.append(tag("staff", staff.number))
    if staff.tab:
        fragments.append(tag("stem", "none"))
    return tuple(fragments)


@lru_cache(maxsize=1024)
def _shape(value: Value, unit: str | None, divisions: int) -> tuple[Fragment, ...]:
    """Duration, type, dots and tuplet ratio."""
    fragments = [tag("duration", int(value.duration * divisions)), tag("type", value.type)]
    fragments += [tag("dot")] * value.dots
    if value.tuplet:
        fragments.append(_ratio(value.tuplet, None if unit == value.type and not value.dots else unit))
    return tuple(fragments)


def _ratio(tuplet: Tuplet, unit: str | None) -> Fragment:
    counted = (tag("normal-type", unit),) if unit else ()
    numbers = tag("actual-notes", tuplet.actual), tag("normal-notes", tuplet.normal)
    return tag("time-modification", *numbers, *counted)
