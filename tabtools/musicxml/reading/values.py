"""Numbers and names out of elements, with an error that says where when they are not what they should be.

A file repeats the same few numbers and pitches thousands of times, so their texts are looked up, not parsed.
"""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from lxml import etree

from tabtools.score import Pitch
from tabtools.source import UnreadableError

# A length counted in divisions: a whole number in nearly every file, and exact in the others.
Ticks = int | Fraction

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


def number(element: etree._Element) -> Fraction:
    """The number in an element. Raises UnreadableError, with the line, for anything else."""
    return Fraction(ticks(element))


def whole(element: etree._Element) -> int:
    """The number in an element, rounded. Raises UnreadableError for anything else."""
    return round(ticks(element))


def ticks(element: etree._Element) -> Ticks:
    """The number in an element, an ``int`` if it is whole. Raises UnreadableError for anything else."""
    value = _number(element.text or "")
    if value is None:
        value = _number(text_of(element))
    if value is None:
        raise UnreadableError(
            f"<{element.tag}> should hold a number and holds {element.text!r}", line_of(element)
        )
    return value


def staff_number(element: etree._Element) -> int:
    """The staff that the ``number`` attribute of an element names: 1 where it names none.

    Raises UnreadableError for anything but a number.
    """
    text = element.get("number") or "1"
    found = count(text)
    if found is None:
        raise UnreadableError(f'<{element.tag} number="{text}"> names no staff', line_of(element))
    return found


@lru_cache(maxsize=1024)
def count(text: str | None) -> int | None:
    """The number that a text of up to nine digits says; None for any other text."""
    digits = (text or "").strip()
    return int(digits) if digits.isdecimal() and len(digits) <= _MOST_DIGITS else None


def read_pitch(element: etree._Element, prefix: str = "") -> Pitch | None:
    """Step, alteration (quarter tones rounded) and octave; None where the step is no letter from A to G.

    Equal pitches are one object. Raises UnreadableError for an alteration or octave that is no number.
    """
    texts = {child.tag: child.text for child in element}
    step, alter, octave = _PITCH_NAMES[prefix]
    try:
        found = _pitch(texts.get(step), texts.get(alter), texts.get(octave))
    except ValueError:
        found = None
    return found or _slow_pitch(element, prefix)


def _slow_pitch(element: etree._Element, prefix: str) -> Pitch | None:
    """The pitch of an element that may hold comments, or no pitch."""
    step, alter, octave = map(element.find, _PITCH_NAMES[prefix])
    return _pitch(text_of(step), *(None if e is None else str(whole(e)) for e in (alter, octave)))


@lru_cache(maxsize=1024)
def _pitch(step: str | None, alter: str | None, octave: str | None) -> Pitch | None:
    """The pitch of three texts. Raises ValueError for one that is no number."""
    letter = (step or "").strip().upper()
    if letter not in _STEPS or octave is None:
        return None
    semitones = 0 if alter is None else _number(alter)
    height = _number(octave)
    if semitones is None or height is None:
        raise ValueError
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
