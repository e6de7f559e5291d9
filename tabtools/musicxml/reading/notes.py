"""One ``note`` element: pitch, length, place on the neck and how it is played."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from fractions import Fraction

from lxml import etree

from tabtools.musicxml.marks import ALSO_READ, MARKS
from tabtools.musicxml.reading.values import number, text_of, whole
from tabtools.score import ZERO, Pitch, Technique, Tuplet
from tabtools.techniques import BY_NAME, TECHNIQUES, ordered

_ELEMENTS = {mark.element: name for name, mark in MARKS.items()} | ALSO_READ
_WORDS = {mark: kind.name for kind in TECHNIQUES for mark in kind.above} | {name: name for name in BY_NAME}


@dataclass(slots=True)
class Scan:
    """What a ``note`` element says. ``duration`` is in divisions; ``pitch`` is as written."""

    pitch: Pitch | None = None
    duration: Fraction = ZERO
    rest: bool = False
    whole_bar: bool = False
    chord: bool = False
    grace: bool = False
    cue: bool = False
    voice: str = "1"
    staff: int = 1
    tuplet: Tuplet | None = None
    string: int | None = None
    fret: int | None = None
    finger: str | None = None
    tied: bool = False
    harmonic: str = ""
    names: dict[str, Fraction | None] = field(default_factory=dict)
    bends: list[tuple[str, Fraction]] = field(default_factory=list)

    def techniques(self) -> tuple[Technique, ...]:
        """The techniques, in the order of their table."""
        if self.bends:
            kinds = {kind for kind, _ in self.bends}
            stem = "prebend" if "pre-bend" in kinds or kinds == {"release"} else "bend"
            self.names[f"{stem}-release" if "release" in kinds else stem] = self.bends[0][1]
        if "pinch" in self.names:
            self.names.pop("artificial", None)
        return ordered(Technique(name, value) for name, value in self.names.items()) if self.names else ()


def scan(element: etree._Element) -> Scan:
    """Read a ``note`` element. Raises UnreadableError for a number that is none."""
    found = Scan()
    for child in element:
        handler = _NOTE.get(child.tag)
        if handler:
            handler(found, child)
    return found


def read_pitch(element: etree._Element, prefix: str = "") -> Pitch | None:
    """Step, alteration (quarter tones rounded) and octave; None where the step is no letter from A to G."""
    step = text_of(element.find(f"{prefix}step")).upper()
    octave = element.find(f"{prefix}octave")
    if step not in set("ABCDEFG") or octave is None:
        return None
    alter = element.find(f"{prefix}alter")
    return Pitch(step, max(-3, min(3, whole(alter))) if alter is not None else 0, whole(octave))


def _pitch(found: Scan, element: etree._Element) -> None:
    found.pitch = read_pitch(element)


def _unpitched(found: Scan, _: etree._Element) -> None:
    found.names["dead"] = None


def _duration(found: Scan, element: etree._Element) -> None:
    found.duration = number(element)


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
    found.voice = text_of(element) or "1"


def _staff(found: Scan, element: etree._Element) -> None:
    found.staff = whole(element)


def _tie(found: Scan, element: etree._Element) -> None:
    if element.get("type") == "stop":
        found.tied = True


def _ratio(found: Scan, element: etree._Element) -> None:
    actual, normal = element.find("actual-notes"), element.find("normal-notes")
    if actual is not None and normal is not None:
        found.tuplet = Tuplet(max(1, whole(actual)), max(1, whole(normal)))


def _notehead(found: Scan, element: etree._Element) -> None:
    if text_of(element) == "x":
        found.names["dead"] = None
    if element.get("parentheses") == "yes":
        found.names["ghost"] = None


def _play(found: Scan, element: etree._Element) -> None:
    if text_of(element.find("mute")) == "palm":
        found.names["palm-mute"] = None


def _notations(found: Scan, element: etree._Element) -> None:
    for child in element:
        if child.tag in ("technical", "ornaments", "articulations"):
            for mark in child:
                _mark(found, mark)
        elif child.tag == "tied":
            found.tied = found.tied or child.get("type") == "stop"
            if child.get("type") == "let-ring":
                found.names["let-ring"] = None
        elif child.tag in ("slide", "glissando") and child.get("type") == "stop":
            found.names["slide"] = None


def _mark(found: Scan, element: etree._Element) -> None:
    handler = _TECHNICAL.get(element.tag)
    if handler:
        handler(found, element)
    elif element.tag in _ELEMENTS:
        found.names.setdefault(_ELEMENTS[element.tag], None)


def _string(found: Scan, element: etree._Element) -> None:
    found.string = whole(element)


def _fret(found: Scan, element: etree._Element) -> None:
    found.fret = whole(element)


def _finger(found: Scan, element: etree._Element) -> None:
    found.finger = text_of(element) or None


def _hammer(found: Scan, element: etree._Element) -> None:
    if element.get("type") == "stop":
        found.names["hammer"] = None


def _pull(found: Scan, element: etree._Element) -> None:
    if element.get("type") == "stop":
        found.names["pull"] = None


def _bend(found: Scan, element: etree._Element) -> None:
    alter = element.find("bend-alter")
    kinds = [kind for kind in ("pre-bend", "release", "with-bar") if element.find(kind) is not None]
    if "with-bar" in kinds:
        found.names["whammy"] = None
    else:
        # Older files have the release at 0, and pre-bends with either sign: the child says what is meant.
        amount = abs(number(alter)).limit_denominator(1000) if alter is not None else ZERO
        found.bends.append((kinds[0] if kinds else "bend", amount))


def _harmonic(found: Scan, element: etree._Element) -> None:
    found.names["artificial" if element.find("artificial") is not None else "harmonic"] = None
    pitches = ("base-pitch", "touching-pitch", "sounding-pitch")
    found.harmonic = next((name for name in pitches if element.find(name) is not None), "")


def _wave(found: Scan, element: etree._Element) -> None:
    # After a trill the wavy line only says how long it lasts.
    beside = element.getparent()
    if beside is None or beside.find("trill-mark") is None:
        found.names["vibrato"] = None


def _other(found: Scan, element: etree._Element) -> None:
    word, _, value = text_of(element).partition(":")
    if word not in _WORDS:
        return
    try:
        found.names[_WORDS[word]] = Fraction(value) if value else None
    except ValueError:
        found.names[_WORDS[word]] = None


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
