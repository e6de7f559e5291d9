"""Key and time signatures."""

from __future__ import annotations

from fractions import Fraction
from math import ceil

from lxml import etree

from tabtools.musicxml.reading.values import text_of, whole
from tabtools.score import Inferred, Key, Quarters, TimeSignature
from tabtools.theory.key import MODES, key_from_fifths

# Beyond double sharps and flats on every line there is no signature.
_MOST_FIFTHS = 14
# Metres beyond these are slips of a file, and counting their beats would take forever.
_MOST_BEATS = 1000
_FINEST_UNIT = 256


def read_key(element: etree._Element) -> tuple[Key | None, list[Inferred]]:
    """The key, None where it has no signature of fifths, and what had to be assumed."""
    fifths, mode = element.find("fifths"), text_of(element.find("mode"))
    if fifths is None or mode == "none":
        return None, []
    if abs(whole(fifths)) > _MOST_FIFTHS:
        return None, []
    if mode in MODES:
        return key_from_fifths(whole(fifths), mode), []
    guess = Inferred("mode", "the key signature does not say major or minor", 0.5)
    return key_from_fifths(whole(fifths), "major"), [guess]


def read_time(element: etree._Element) -> TimeSignature | None:
    """The metre, ``3+2`` and several fractions added up; None for beats that are none."""
    pairs = list(zip(element.iterfind("beats"), element.iterfind("beat-type"), strict=False))
    try:
        parts = [(sum(map(int, text_of(beats).split("+"))), int(text_of(unit))) for beats, unit in pairs]
        unit = max(unit for _, unit in parts)
        count = sum(Fraction(beats * unit, own) for beats, own in parts)
    except (ValueError, ZeroDivisionError):
        count, unit = Fraction(0), 1
    if not 0 < count <= _MOST_BEATS or count.denominator != 1 or not 0 < unit <= _FINEST_UNIT:
        return None
    return TimeSignature(int(count), unit)


def free_time(length: Quarters) -> TimeSignature:
    """A metre as long as a bar that has none."""
    whole = length / 4
    unit = max(4, whole.denominator)
    if unit > _FINEST_UNIT:
        return TimeSignature(ceil(length), 4)
    return TimeSignature(int(whole * unit), unit)
