"""Chord symbols, words, sections and tempo."""

from __future__ import annotations

import re
from fractions import Fraction

from lxml import etree

from tabtools.musicxml.located import Ticks
from tabtools.musicxml.reading.values import text_of, ticks, whole
from tabtools.score import Quarters, Tempo
from tabtools.source import Span
from tabtools.theory.chord import chord_from_musicxml, musicxml_kind, parse_chord
from tabtools.theory.duration import TYPES
from tabtools.theory.line_of_fifths import letter, place
from tabtools.theory.qualities import DegreeChange

# A chord's degrees end at the 13th, and its alterations at two semitones [MusicXML 4.0, degree-alter].
_MOST_DEGREES = 20
_MOST_SEMITONES = 4
_FIRST_NUMBER = re.compile(r"\d+(?:\.\d+)?")


def chord_symbol(element: etree._Element) -> str | None:
    """The symbol that a ``harmony`` prints; None for a function or numeral without a root."""
    root, kind = element.find("root"), element.find("kind")
    if root is None or kind is None:
        return None
    canonical = _canonical(element, root, kind)
    shown = kind.get("text")
    printed = [d for d in element.iterfind("degree") if d.get("print-object") != "no"]
    if shown is None or (printed and canonical is not None):
        return canonical or f"{_name(root, 'root')}({shown or text_of(kind)})"
    bass = element.find("bass")
    over = "" if bass is None or "/" in shown else "/" + _name(bass, "bass")
    written = _name(root, "root") + shown + over
    chord = parse_chord(written)
    # The text may be a mere decoration of a kind that says more.
    agrees = chord is not None and musicxml_kind(chord)[0] == text_of(kind)
    return written if agrees or canonical is None else canonical


def _name(element: etree._Element, prefix: str) -> str:
    """A root or bass as printed."""
    step = element.find(f"{prefix}-step")
    shown = step.get("text") if step is not None else None
    if shown is not None:
        return shown
    name, alter = _step_alter(element, prefix)
    # A note that nobody can mean gets a name that is none, which a finding tells.
    return letter(place(name, alter)) if abs(alter) <= _MOST_SEMITONES else f"{name}{alter:+d}"


def _step_alter(element: etree._Element, prefix: str) -> tuple[str, int]:
    step, alter = text_of(element.find(f"{prefix}-step")), element.find(f"{prefix}-alter")
    return step if step and step in "ABCDEFG" else "C", whole(alter)


def _canonical(element: etree._Element, root: etree._Element, kind: etree._Element) -> str | None:
    step, alter = _step_alter(root, "root")
    bass = element.find("bass")
    over = _step_alter(bass, "bass") if bass is not None else None
    changes = [_change(degree) for degree in element.iterfind("degree")]
    if None in changes or max(abs(alter), abs(over[1]) if over else 0) > _MOST_SEMITONES:
        return None
    return chord_from_musicxml(
        step, alter, text_of(kind), tuple(change for change in changes if change), over
    )


def _change(degree: etree._Element) -> DegreeChange | None:
    """What a degree changes; None where no chord has such a one."""
    value, alter = degree.find("degree-value"), degree.find("degree-alter")
    kind = text_of(degree.find("degree-type"))
    figure, semitones = whole(value), whole(alter)
    if not 0 < figure < _MOST_DEGREES or abs(semitones) > _MOST_SEMITONES:
        return None
    if kind == "subtract":
        return DegreeChange(figure, semitones, "subtract")
    return DegreeChange(figure, semitones, "alter" if kind == "alter" else "add")


class Direction:
    """What a ``direction`` says, ``offset`` in divisions. A plain class: most say one thing."""

    words: tuple[str, ...] = ()
    sections: tuple[str, ...] = ()
    scordaturas: tuple[etree._Element, ...] = ()
    metronome: etree._Element | None = None
    sound: etree._Element | None = None
    offset: Ticks = 0
    staff = 1


def direction(element: etree._Element) -> Direction:
    """Read a ``direction``."""
    read = Direction()
    for child in element:
        if child.tag == "direction-type":
            for mark in child:
                _mark(read, mark)
        elif child.tag == "sound":
            read.sound = child
        elif child.tag == "offset":
            read.offset = ticks(child) or 0
        elif child.tag == "staff":
            read.staff = whole(child, 1)
    return read


def _mark(read: Direction, mark: etree._Element) -> None:
    if mark.tag in ("words", "rehearsal"):
        text = " ".join(text_of(mark).split())
        if text and mark.tag == "words":
            read.words += (text,)
        elif text:
            read.sections += (text,)
    elif mark.tag == "scordatura":
        read.scordaturas += (mark,)
    elif mark.tag == "metronome" and read.metronome is None:
        read.metronome = mark


def offset(element: etree._Element) -> Ticks:
    """How far from the current place a harmony stands, in divisions."""
    return ticks(element.find("offset")) or 0


def tempo(mark: etree._Element | None, sound: etree._Element | None, span: Span) -> Tempo | None:
    """The tempo of a metronome mark, else the quarters of a ``sound``."""
    if mark is not None:
        beat, rate = _beat(mark), _FIRST_NUMBER.search(mark.findtext("per-minute") or "")
        if beat is not None and rate is not None and float(rate.group()) > 0:
            return Tempo(_rate(Fraction(rate.group())), beat, span)
    rate = _FIRST_NUMBER.fullmatch((sound.get("tempo") or "").strip()) if sound is not None else None
    if rate is None or float(rate.group()) <= 0:
        return None
    return Tempo(_rate(Fraction(rate.group())), Fraction(1), span)


def _rate(decimal: Fraction) -> Fraction:
    """The simple fraction that a rounded decimal stands for."""
    return decimal.limit_denominator(1000)


def _beat(mark: etree._Element) -> Quarters | None:
    """The length of the one beat unit of a metronome mark; None where there are two, or none."""
    units = mark.findall("beat-unit")
    length = TYPES.get(text_of(units[0])) if len(units) == 1 else None
    dots = len(mark.findall("beat-unit-dot"))
    return length * (2 - Fraction(1, 2**dots)) if length is not None else None
