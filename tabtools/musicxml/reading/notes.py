"""One ``note`` element: pitch, length, place on the neck and how it is played."""

from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from functools import lru_cache

from lxml import etree

from tabtools.musicxml.marks import ALSO_READ, FALLING, MARKS
from tabtools.musicxml.reading.values import Ticks, count, number, read_pitch, text_of, ticks, whole
from tabtools.score import ZERO, Pitch, Technique, Tuplet
from tabtools.techniques import BY_NAME, TECHNIQUES, ordered

_FALLING = {mark.element: name for name, mark in FALLING.items()}
_ELEMENTS = {mark.element: name for name, mark in MARKS.items()} | _FALLING | ALSO_READ
_COUNTS = ("actual-notes", "normal-notes")
_WORDS = {mark: kind.name for kind in TECHNIQUES for mark in kind.above} | {name: name for name in BY_NAME}


class Scan:
    """What a ``note`` element says. ``duration`` is in divisions; ``pitch`` is as written.

    A plain class with defaults: most notes say three or four of these things, and only those are set.
    """

    pitch: Pitch | None = None
    duration: Ticks | None = None
    rest = False
    whole_bar = False
    chord = False
    grace = False
    cue = False
    voice = 1
    staff = 1
    tuplet: Tuplet | None = None
    string: int | None = None
    fret: int | None = None
    finger: str | None = None
    tied = False
    harmonic = ""
    sized: dict[str, Fraction | None] | None = None
    falling: tuple[str, ...] = ()
    bends: tuple[tuple[str, Fraction], ...] = ()

    def add(self, name: str, value: Fraction | None = None) -> None:
        """Note a technique, with its size where it has one; the last one said of a name counts."""
        if self.sized is None:
            self.sized = {}
        self.sized[name] = value

    def has(self, name: str) -> bool:
        """Whether the note is played with a technique."""
        return self.sized is not None and name in self.sized

    def techniques(self) -> tuple[Technique, ...]:
        """The techniques, in the order of their table."""
        if self.bends:
            kinds = {kind for kind, _ in self.bends}
            stem = "prebend" if "pre-bend" in kinds or kinds == {"release"} else "bend"
            self.add(f"{stem}-release" if "release" in kinds else stem, self.bends[0][1])
        if self.sized is None:
            return ()
        if "pinch" in self.sized:
            self.sized.pop("artificial", None)
        return ordered(Technique(name, value, name in self.falling) for name, value in self.sized.items())


def scan(element: etree._Element) -> Scan:
    """Read a ``note`` element. Raises UnreadableError for a number that is none."""
    found = Scan()
    for child in element:
        handler = _NOTE.get(child.tag)
        if handler is not None:
            handler(found, child)
    return found


def _pitch(found: Scan, element: etree._Element) -> None:
    found.pitch = read_pitch(element)


def _unpitched(found: Scan, _: etree._Element) -> None:
    found.add("dead")


def _duration(found: Scan, element: etree._Element) -> None:
    found.duration = ticks(element)


def _rest(found: Scan, element: etree._Element) -> None:
    found.rest = True
    found.whole_bar = element.get("measure") == "yes"


def _chord(found: Scan, _: etree._Element) -> None:
    found.chord = True


def _grace(found: Scan, _: etree._Element) -> None:
    found.grace = True


def _cue(found: Scan, _: etree._Element) -> None:
    found.cue = True


def _voice(found: Scan, element: etree._Element) -> None:
    found.voice = count(element.text) or 1


def _staff(found: Scan, element: etree._Element) -> None:
    found.staff = count(element.text) or whole(element)


def _tie(found: Scan, element: etree._Element) -> None:
    if element.get("type") == "stop":
        found.tied = True


def _ratio(found: Scan, element: etree._Element) -> None:
    numbers = {child.tag: whole(child) for child in element if child.tag in _COUNTS}
    if len(numbers) == len(_COUNTS):
        found.tuplet = _tuplet(*(max(1, numbers[name]) for name in _COUNTS))


_tuplet = lru_cache(maxsize=256)(Tuplet)


def _notehead(found: Scan, element: etree._Element) -> None:
    if text_of(element) == "x":
        found.add("dead")
    if element.get("parentheses") == "yes":
        found.add("ghost")


def _play(found: Scan, element: etree._Element) -> None:
    if text_of(element.find("mute")) == "palm":
        found.add("palm-mute")


def _notations(found: Scan, element: etree._Element) -> None:
    for child in element:
        if child.tag in ("technical", "ornaments", "articulations"):
            for mark in child:
                _mark(found, mark)
        elif child.tag == "tied":
            found.tied = found.tied or child.get("type") == "stop"
            if child.get("type") == "let-ring":
                found.add("let-ring")
        elif child.tag in ("slide", "glissando") and child.get("type") == "stop":
            found.add("slide")


def _mark(found: Scan, element: etree._Element) -> None:
    handler = _TECHNICAL.get(element.tag)
    if handler:
        handler(found, element)
    elif element.tag in _ELEMENTS and not found.has(_ELEMENTS[element.tag]):
        found.add(_ELEMENTS[element.tag])
        if element.tag in _FALLING:
            found.falling += (_FALLING[element.tag],)


def _string(found: Scan, element: etree._Element) -> None:
    found.string = whole(element)


def _fret(found: Scan, element: etree._Element) -> None:
    fret = whole(element)
    found.fret = fret if fret >= 0 else None  # some write -1 where there is none


def _finger(found: Scan, element: etree._Element) -> None:
    found.finger = text_of(element) or None


def _hammer(found: Scan, element: etree._Element) -> None:
    if element.get("type") == "stop":
        found.add("hammer")


def _pull(found: Scan, element: etree._Element) -> None:
    if element.get("type") == "stop":
        found.add("pull")


def _bend(found: Scan, element: etree._Element) -> None:
    alter = element.find("bend-alter")
    kinds = [kind for kind in ("pre-bend", "release", "with-bar") if element.find(kind) is not None]
    if "with-bar" in kinds:
        found.add("whammy")
    else:
        # Older files have the release at 0, and pre-bends with either sign: the child says what is meant.
        amount = abs(number(alter)).limit_denominator(1000) if alter is not None else ZERO
        found.bends += ((kinds[0] if kinds else "bend", amount),)


def _harmonic(found: Scan, element: etree._Element) -> None:
    found.add("artificial" if element.find("artificial") is not None else "harmonic")
    pitches = ("base-pitch", "touching-pitch", "sounding-pitch")
    found.harmonic = next((name for name in pitches if element.find(name) is not None), "")


def _wave(found: Scan, element: etree._Element) -> None:
    # After a trill the wavy line only says how long it lasts.
    beside = element.getparent()
    if beside is None or beside.find("trill-mark") is None:
        found.add("vibrato")


def _other(found: Scan, element: etree._Element) -> None:
    word, _, value = text_of(element).partition(":")
    if word not in _WORDS:
        return
    try:
        found.add(_WORDS[word], Fraction(value) if value else None)
    except (ValueError, ZeroDivisionError):
        found.add(_WORDS[word])


_Handler = Callable[[Scan, etree._Element], None]

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
