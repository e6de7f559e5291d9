"""The staves of a part: which of them are tab, how they transpose, and the instrument that they declare."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from lxml import etree

from tabtools.doubts import Doubt, TuningMissing
from tabtools.instrument import GUITAR, TUNINGS, instrument_from, instrument_named
from tabtools.musicxml.extents import Extents
from tabtools.musicxml.located import Transposition
from tabtools.musicxml.reading.values import count, read_pitch, staff_number, text_of, whole
from tabtools.record import NamedTuple
from tabtools.score import Inferred, Instrument, Pitch
from tabtools.theory.spelling import spell

_STEPS = "CDEFGAB"
# Sound names of the MusicXML standard (sounds.xml), and General MIDI level 1 programs counted from 1; from
# memory.
_BY_SOUND = {
    "pluck.bass": "Bass",
    "pluck.guitar": "Guitar",
    "pluck.ukulele": "Ukulele",
    "pluck.banjo": "Banjo",
    "pluck.mandolin": "Mandolin",
}
_BY_PROGRAM = {"Guitar": range(25, 33), "Bass": range(33, 41), "Banjo": range(106, 107)}


def sounding(pitch: Pitch, moved: Transposition) -> Pitch:
    """The pitch that sounds where ``pitch`` is written."""
    return _moved(pitch, moved.steps, moved.semitones)


@lru_cache(maxsize=1024)
def _moved(pitch: Pitch, steps: int, semitones: int) -> Pitch:
    if not semitones:
        return pitch
    octaves, step = divmod(_STEPS.index(pitch.step) + steps, 7)
    plain = Pitch(_STEPS[step], 0, pitch.octave + octaves)
    alter = pitch.midi + semitones - plain.midi
    if abs(alter) <= 3:
        return plain._replace(alter=alter)
    # The steps do not fit the semitones, so the spelling is ours.
    return spell(pitch.midi + semitones, None)


def transposition(element: etree._Element) -> Transposition:
    """What a ``transpose`` element says; octaves count 7 steps and 12 semitones."""
    names = ("diatonic", "chromatic", "octave-change")
    amounts = {name: whole(element.find(name)) for name in names}
    octaves = amounts["octave-change"]
    return Transposition(amounts["diatonic"] + 7 * octaves, amounts["chromatic"] + 12 * octaves)


class Declared(NamedTuple):
    """What a part says of its staves: the instrument that it begins with, the tab staves, and doubts."""

    instrument: Instrument
    tab: frozenset[int]
    doubts: tuple[Doubt, ...]


def declared(part: Sequence[etree._Element], header: etree._Element | None, extents: Extents) -> Declared:
    """The tab staves of a part, and its instrument, without capo.

    Tab are the staves that have a TAB clef anywhere; where none has, those with a tuning. ``part`` holds the
    elements with the music of its bars. Without a tab staff the instrument is the one that the part list
    names, else a guitar, which is marked as inferred. A tab staff that does not say its tuning gives a doubt.
    """
    elements = [element for bar in part for element in bar.iter("clef", "staff-details")]
    clefs = [e for e in elements if e.tag == "clef" and text_of(e.find("sign")).upper() == "TAB"]
    tuned = [e for e in elements if e.tag == "staff-details" and e.find("staff-tuning") is not None]
    tabs = [*clefs, *tuned]
    staves = frozenset(map(staff_number, clefs or tuned))
    details = next((e for e in tuned if staff_number(e) in staves), next(iter(tuned), None))
    named, tuning = _named(header), _tuning(details) if details is not None else None
    if details is not None and tuning is not None:
        instrument = Instrument(_name(tuning, named), tuning, span=extents.span(details))
        return Declared(instrument, staves, ())
    guess = (named or GUITAR)._replace(inferred=(_guessed(named),))
    if not tabs:
        return Declared(guess, staves, ())
    bare = (e for e in elements if e.tag == "staff-details" and staff_number(e) in staves)
    span = extents.span(next(bare, tabs[0]))
    return Declared(guess, staves, (TuningMissing(span, guess.name),))


def retuned(before: Instrument, details: etree._Element) -> Instrument:
    """The instrument after a ``staff-details``: another tuning, another capo.

    A tuning without a capo means none; one that names some of the lines leaves the others as they were.
    """
    lines, capo = _lines(details), details.find("capo")
    if not lines:
        return before if capo is None else _changed(before, before.tuning, _capo(capo))
    tuning, strings = list(before.tuning), len(before.tuning)
    complete = sorted(lines) == list(range(1, len(lines) + 1)) and len(lines) >= strings
    if complete:
        tuning = [lines[line] for line in sorted(lines, reverse=True)]
    else:
        tuning = [lines.get(strings - place, pitch) for place, pitch in enumerate(tuning)]
    return _changed(before, tuple(tuning), _capo(capo))


def retuned_strings(before: Instrument, scordatura: etree._Element) -> Instrument:
    """The instrument after a ``scordatura``, whose strings are counted from the highest."""
    tuning = list(before.tuning)
    for accord in scordatura.iterfind("accord"):
        pitch, string = read_pitch(accord, "tuning-"), count(accord.get("string")) or 0
        if pitch is not None and 1 <= string <= len(tuning):
            tuning[string - 1] = pitch
    return _changed(before, tuple(tuning), before.capo)


def _changed(before: Instrument, tuning: tuple[Pitch, ...], capo: int) -> Instrument:
    same = tuning == before.tuning and capo == before.capo
    return before if same else before._replace(tuning=tuning, capo=capo)


def _capo(capo: etree._Element | None) -> int:
    return max(0, whole(capo))


def _guessed(named: Instrument | None) -> Inferred:
    if named is None:
        return Inferred("instrument", "the file names no fretted instrument and no tuning", 0.5)
    return Inferred("tuning", f"the usual one of the instrument named, {named.name}", 0.8)


def _named(header: etree._Element | None) -> Instrument | None:
    """The instrument of the tuning table that the part list names."""
    if header is None:
        return None
    texts = [e.text or "" for e in header.iterfind("score-instrument/instrument-name")]
    texts.append(header.findtext("part-name") or "")
    names = [name for text in texts if (name := instrument_named(text, whole=True)) is not None]
    name = names[0] if names else _by_sound(header)
    return next((instrument_from(row) for row in TUNINGS if row.instrument == name), None)


def _by_sound(header: etree._Element) -> str | None:
    """The instrument that the sound of a part or its General MIDI program tells."""
    sounds = [text_of(e) for e in header.iterfind("score-instrument/instrument-sound")]
    for prefix, name in _BY_SOUND.items():
        if any(sound.startswith(prefix) for sound in sounds):
            return name
    programs = [whole(e) for e in header.iterfind("midi-instrument/midi-program")]
    fitting = (name for name, range_ in _BY_PROGRAM.items() if any(p in range_ for p in programs))
    return None if sounds else next(fitting, None)


def _tuning(details: etree._Element) -> tuple[Pitch, ...] | None:
    """The open strings, string 1 first: the highest line. None unless every line has one tuning."""
    lines = _lines(details)
    complete = sorted(lines) == list(range(1, len(details.findall("staff-tuning")) + 1))
    return tuple(lines[line] for line in sorted(lines, reverse=True)) if complete else None


def _lines(details: etree._Element) -> dict[int, Pitch]:
    """The open strings by staff line, counted from the bottom; those that cannot be read are left out."""
    pitches = {}
    for element in details.iterfind("staff-tuning"):
        pitch, line = read_pitch(element, "tuning-"), count(element.get("line"))
        if pitch is not None and line is not None:
            pitches[line] = pitch
    return pitches


def _name(tuning: tuple[Pitch, ...], named: Instrument | None) -> str:
    """The instrument's name: as the file gives it, else that of a tuning with these strings."""
    if named is not None and len(named.tuning) == len(tuning):
        return named.name
    sound = [pitch.midi for pitch in tuning]
    same = (row for row in TUNINGS if [pitch.midi for pitch in row.strings] == sound)
    fitting = next(same, None) or next((row for row in TUNINGS if len(row.strings) == len(tuning)), None)
    return fitting.instrument if fitting else f"{len(tuning)}-string instrument"
