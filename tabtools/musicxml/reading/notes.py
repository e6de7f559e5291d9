"""One ``note`` element: pitch, length, place on the neck and how it is played."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import lru_cache

from lxml import etree

from tabtools.musicxml.located import Join, LocatedNote
from tabtools.musicxml.marks import ALSO_READ, FALLING, MARKS
from tabtools.musicxml.reading.values import count, read_pitch, text_of, ticks, whole
from tabtools.score import Tuplet
from tabtools.techniques import BY_NAME, TECHNIQUES

_FALLING = {mark.element: name for name, mark in FALLING.items()}
_ELEMENTS = {mark.element: name for name, mark in MARKS.items()} | _FALLING | ALSO_READ
_WHOLE_PITCH = ("step", "octave")
_WORDS = {mark: kind.name for kind in TECHNIQUES for mark in kind.above} | {name: name for name in BY_NAME}


def scan(element: etree._Element) -> LocatedNote:
    """Read a ``note`` element; where it stands in time is not known yet."""
    note = LocatedNote()
    note.element = element
    for child in element:
        handler = _NOTE.get(child.tag)
        if handler is not None:
            handler(note, child)
    return note


def _pitch(note: LocatedNote, element: etree._Element) -> None:
    note.pitch = read_pitch(element)
    if note.pitch is None:
        note.faulty += (element,)
    elif len(element) > len(_WHOLE_PITCH):
        alter = ticks(element.find("alter"))
        note.between = alter is not None and alter.denominator != 1


def _unpitched(note: LocatedNote, _: etree._Element) -> None:
    note.unpitched = True


def _duration(note: LocatedNote, element: etree._Element) -> None:
    duration = ticks(element)
    if duration is None or duration < 0:
        note.faulty += (element,)
    else:
        note.ticks = duration


def _type(note: LocatedNote, element: etree._Element) -> None:
    note.value = (element.text or "").strip()


def _dot(note: LocatedNote, _: etree._Element) -> None:
    note.dots += 1


def _accidental(note: LocatedNote, element: etree._Element) -> None:
    note.accidental = (element.text or "").strip()


def _rest(note: LocatedNote, element: etree._Element) -> None:
    note.rest = True
    note.whole_bar = element.get("measure") == "yes"


def _chord(note: LocatedNote, _: etree._Element) -> None:
    note.chord = True


def _grace(note: LocatedNote, _: etree._Element) -> None:
    note.grace = True


def _cue(note: LocatedNote, _: etree._Element) -> None:
    note.cue = True


def _voice(note: LocatedNote, element: etree._Element) -> None:
    note.voice = (element.text or "").strip() or "1"


def _staff(note: LocatedNote, element: etree._Element) -> None:
    staff = count(element.text) or whole(element)
    if staff < 1:
        note.faulty += (element,)
    else:
        note.staff = staff


def _tie(note: LocatedNote, element: etree._Element) -> None:
    note.ties += (("tie", element.get("type") or ""),)


def _ratio(note: LocatedNote, element: etree._Element) -> None:
    actual, normal = (ticks(element.find(name)) for name in ("actual-notes", "normal-notes"))
    if actual is None or normal is None or actual < 1 or normal < 1:
        note.faulty += (element,)
    else:
        note.tuplet = _tuplet(round(actual), round(normal))


_tuplet = lru_cache(maxsize=256)(Tuplet)


def _notehead(note: LocatedNote, element: etree._Element) -> None:
    if text_of(element) == "x":
        note.add("dead")
    if element.get("parentheses") == "yes":
        note.add("ghost")


def _play(note: LocatedNote, element: etree._Element) -> None:
    if text_of(element.find("mute")) == "palm":
        note.add("palm-mute")


def _notations(note: LocatedNote, element: etree._Element) -> None:
    for child in element:
        if child.tag in ("technical", "ornaments", "articulations"):
            for mark in child:
                _mark(note, mark)
        elif child.tag == "tied":
            note.ties += (("tied", child.get("type") or ""),)
            if child.get("type") == "let-ring":
                note.add("let-ring")
        elif child.tag in ("slide", "glissando"):
            _join(note, child)
            if child.get("type") == "stop":
                note.add("slide")
        elif child.tag == "slur":
            _join(note, child)


def _join(note: LocatedNote, element: etree._Element) -> None:
    join = Join(str(element.tag), element.get("type") or "", element.get("number") or "1", element)
    note.joins += (join,)


def _mark(note: LocatedNote, element: etree._Element) -> None:
    handler = _TECHNICAL.get(element.tag)
    if handler:
        handler(note, element)
    elif element.tag in _ELEMENTS and not note.has(_ELEMENTS[element.tag]):
        note.add(_ELEMENTS[element.tag])
        if element.tag in _FALLING:
            note.falling += (_FALLING[element.tag],)


def _string(note: LocatedNote, element: etree._Element) -> None:
    note.string = _counted(note, element)


def _fret(note: LocatedNote, element: etree._Element) -> None:
    fret = _counted(note, element)
    note.fret = None if fret is None or fret < 0 else fret  # some write -1 where there is none


def _counted(note: LocatedNote, element: etree._Element) -> int | None:
    number = ticks(element)
    if number is None:
        note.faulty += (element,)
    return None if number is None else round(number)


def _finger(note: LocatedNote, element: etree._Element) -> None:
    note.finger = text_of(element) or None


def _hammer(note: LocatedNote, element: etree._Element) -> None:
    _join(note, element)
    if element.get("type") == "stop":
        note.add("hammer")


def _pull(note: LocatedNote, element: etree._Element) -> None:
    _join(note, element)
    if element.get("type") == "stop":
        note.add("pull")


def _bend(note: LocatedNote, element: etree._Element) -> None:
    alter = element.find("bend-alter")
    kinds = [kind for kind in ("pre-bend", "release", "with-bar") if element.find(kind) is not None]
    if "with-bar" in kinds:
        note.add("whammy")
    else:
        # Older files have the release at 0, and pre-bends with either sign: the child says what is meant.
        amount = abs(Fraction(ticks(alter) or 0)).limit_denominator(1000)
        note.bends += ((kinds[0] if kinds else "bend", amount),)


def _harmonic(note: LocatedNote, element: etree._Element) -> None:
    note.add("artificial" if element.find("artificial") is not None else "harmonic")
    pitches = ("base-pitch", "touching-pitch", "sounding-pitch")
    note.harmonic = next((name for name in pitches if element.find(name) is not None), "")


def _wave(note: LocatedNote, element: etree._Element) -> None:
    # After a trill the wavy line only says how long it lasts.
    beside = element.getparent()
    if beside is None or beside.find("trill-mark") is None:
        note.add("vibrato")


def _other(note: LocatedNote, element: etree._Element) -> None:
    word, _, value = text_of(element).partition(":")
    if word not in _WORDS:
        return
    try:
        note.add(_WORDS[word], Fraction(value) if value else None)
    except (ValueError, ZeroDivisionError):
        note.add(_WORDS[word])


_Handler = Callable[[LocatedNote, etree._Element], None]

_NOTE: dict[str, _Handler] = {
    "pitch": _pitch,
    "unpitched": _unpitched,
    "duration": _duration,
    "rest": _rest,
    "chord": _chord,
    "grace": _grace,
    "cue": _cue,
    "voice": _voice,
    "staff": _staff,
    "tie": _tie,
    "type": _type,
    "dot": _dot,
    "accidental": _accidental,
    "time-modification": _ratio,
    "notehead": _notehead,
    "play": _play,
    "notations": _notations,
}
_TECHNICAL: dict[str, _Handler] = {
    "string": _string,
    "fret": _fret,
    "fingering": _finger,
    "hammer-on": _hammer,
    "pull-off": _pull,
    "bend": _bend,
    "harmonic": _harmonic,
    "wavy-line": _wave,
    "other-technical": _other,
}
