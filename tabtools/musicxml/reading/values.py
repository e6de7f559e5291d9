"""Numbers and names out of elements, None for what is none.

A file repeats the same few numbers and pitches thousands of times, so their texts are looked up, not parsed.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from lxml import etree

from tabtools.musicxml.located import Ticks
from tabtools.score import Pitch

_STEPS = frozenset("ABCDEFG")
_PITCH_NAMES = {
    "": ("step", "alter", "octave"),
    "tuning-": ("tuning-step", "tuning-alter", "tuning-octave"),
}
_WIDEST_ALTER = 3
_MOST_DIGITS = 9


def line_of(element: etree._Element) -> int:
    """The line that an element starts on."""
    line = element.sourceline
    return line if isinstance(line, int) else 1


def text_of(element: etree._Element | None) -> str:
    """The text of an element without surrounding space; empty where there is none."""
    if element is None:
        return ""
    # Text after a comment is text all the same.
    return (element.text or "".join(map(str, element.itertext("*")))).strip()


def ticks(element: etree._Element | None) -> Ticks | None:
    """The number in an element, an ``int`` if it is whole; None where it holds none."""
    if element is None:
        return None
    value = _number(element.text or "")
    return value if value is not None else _number(text_of(element))


def whole(element: etree._Element | None, default: int = 0) -> int:
    """The number in an element, rounded; the default where it holds none."""
    value = ticks(element)
    return default if value is None else round(value)


def staff_number(element: etree._Element) -> int:
    """The staff that the ``number`` attribute of an element names: 1 where it names none."""
    return count(element.get("number")) or 1


@lru_cache(maxsize=1024)
def count(text: str | None) -> int | None:
    """The number that a text of up to nine digits says; None for any other text."""
    digits = (text or "").strip()
    return int(digits) if digits.isdecimal() and len(digits) <= _MOST_DIGITS else None


def read_pitch(element: etree._Element, prefix: str = "") -> Pitch | None:
    """Step, alteration (quarter tones rounded) and octave; None where one of them is none.

    Equal pitches are one object.
    """
    texts = {child.tag: child.text for child in element}
    step, alter, octave = _PITCH_NAMES[prefix]
    pitch = _pitch(texts.get(step), texts.get(alter), texts.get(octave))
    if pitch is None and len(element):  # there may be comments within the texts
        pitch = _pitch(
            *(text_of(e) if (e := element.find(name)) is not None else None for name in _PITCH_NAMES[prefix])
        )
    return pitch


@lru_cache(maxsize=1024)
def _pitch(step: str | None, alter: str | None, octave: str | None) -> Pitch | None:
    letter = (step or "").strip().upper()
    semitones = 0 if alter is None else _number(alter)
    height = None if octave is None else _number(octave)
    if letter not in _STEPS or semitones is None or height is None:
        return None
    return Pitch(letter, max(-_WIDEST_ALTER, min(_WIDEST_ALTER, round(semitones))), round(height))


@lru_cache(maxsize=4096)
def _number(text: str) -> Ticks | None:
    # A fraction or an exponent is a number to Fraction, but not to XML.
    if "/" in text or "e" in text.lower():
        return None
    try:
        value = Fraction(text.strip())
    except ValueError:
        return None
    return value.numerator if value.denominator == 1 else value
