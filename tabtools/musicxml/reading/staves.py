"""The staves of a part: which of them are tab, how they transpose, and the instrument that they declare."""

from __future__ import annotations

from dataclasses import dataclass, replace

from lxml import etree

from tabtools.instrument import GUITAR, TUNINGS, instrument_from
from tabtools.musicxml.reading.notes import read_pitch
from tabtools.musicxml.reading.values import staff_number, text_of, whole
from tabtools.score import Inferred, Instrument, Pitch
from tabtools.source import Doubt, Span
from tabtools.theory.spelling import spell

Spans = dict[etree._Element, Span]
_STEPS = "CDEFGAB"


@dataclass(frozen=True, slots=True)
class Transposition:
    """From written to sounding pitch: steps and semitones, octaves included."""

    steps: int = 0
    semitones: int = 0

    def sounding(self, pitch: Pitch) -> Pitch:
        """The pitch that sounds where ``pitch`` is written."""
        if not self.semitones:
            return pitch
        octaves, step = divmod(_STEPS.index(pitch.step) + self.steps, 7)
        plain = Pitch(_STEPS[step], 0, pitch.octave + octaves)
        alter = pitch.midi + self.semitones - plain.midi
        if abs(alter) <= 3:
            return replace(plain, alter=alter)
        # The steps do not fit the semitones, so the spelling is ours.
        return spell(pitch.midi + self.semitones, None)


def transposition(element: etree._Element) -> Transposition:
    """What a ``transpose`` element says; octaves count 7 steps and 12 semitones."""
    amounts = {
        name: whole(child) if (child := element.find(name)) is not None else 0
        for name in ("diatonic", "chromatic", "octave-change")
    }
    octaves = amounts["octave-change"]
    return Transposition(amounts["diatonic"] + 7 * octaves, amounts["chromatic"] + 12 * octaves)


def tab_staves(part: etree._Element) -> frozenset[int]:
    """The numbers of the staves that have a TAB clef or a tuning anywhere in the part."""
    found = set()
    for element in part.iterfind("measure/attributes/*"):
        tab_clef = element.tag == "clef" and text_of(element.find("sign")).upper() == "TAB"
        if tab_clef or (element.tag == "staff-details" and element.find("staff-tuning") is not None):
            found.add(staff_number(element))
    return frozenset(found)


def instrument(
    part: etree._Element, header: etree._Element | None, spans: Spans
) -> tuple[Instrument, tuple[Doubt, ...]]:
    """The instrument of a part, and a doubt where a tab staff does not say its tuning.

    Without a tab staff it is the one that the part list names, else a guitar, which is marked as inferred.
    """
    named = _named(header)
    details = next((d for d in part.iter("staff-details") if d.find("staff-tuning") is not None), None)
    capo = next((whole(c) for c in part.iter("capo")), 0)
    tuning = _tuning(details) if details is not None else None
    if details is not None and tuning is not None:
        return Instrument(_name(tuning, named), tuning, capo, span=spans.get(details)), ()
    guess = replace(named or GUITAR, capo=capo, inferred=(_guessed(named),))
    tab = next((c for c in part.iter("clef") if text_of(c.find("sign")).upper() == "TAB"), None)
    if tab is None and details is None:
        return guess, ()
    holder = details if details is not None else tab.getparent() if tab is not None else None
    span = spans.get(holder, Span(0, 0)) if holder is not None else Span(0, 0)
    return guess, (Doubt("tuning-missing", span, (guess.name,)),)


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
    rows = {row.instrument.lower(): row for row in reversed(TUNINGS)}
    found = next((rows[text.strip().lower()] for text in texts if text.strip().lower() in rows), None)
    return instrument_from(found) if found else None


def _tuning(details: etree._Element) -> tuple[Pitch, ...] | None:
    """The open strings, string 1 first: the highest line. None unless every line has one tuning."""
    lines = {}
    for element in details.iterfind("staff-tuning"):
        pitch, line = read_pitch(element, "tuning-"), element.get("line") or ""
        if pitch is None or not line.isdecimal() or int(line) in lines:
            return None
        lines[int(line)] = pitch
    complete = sorted(lines) == list(range(1, len(lines) + 1))
    return tuple(lines[line] for line in sorted(lines, reverse=True)) if complete else None


def _name(tuning: tuple[Pitch, ...], named: Instrument | None) -> str:
    """The instrument's name: as the file gives it, else that of a tuning with these strings."""
    if named is not None and len(named.tuning) == len(tuning):
        return named.name
    sound = [pitch.midi for pitch in tuning]
    same = (row for row in TUNINGS if [pitch.midi for pitch in row.strings] == sound)
    fitting = next(same, None) or next((row for row in TUNINGS if len(row.strings) == len(tuning)), None)
    return fitting.instrument if fitting else f"{len(tuning)}-string instrument"
