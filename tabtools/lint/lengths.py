"""Lengths in words: so many notes of the unit that a bar's metre counts."""

from __future__ import annotations

from fractions import Fraction

from tabtools.score import Bar, Quarters

_UNITS = {1: "whole", 2: "half", 4: "quarter", 8: "eighth", 16: "sixteenth", 32: "thirty-second"}


def units(length: Quarters, bar: Bar) -> Fraction:
    """A length in quarter notes as a number of the notes that the bar's metre counts."""
    return length * bar.time.unit / 4


def amount(length: Quarters, bar: Bar) -> str:
    """As in ``1 1/2 quarter notes``."""
    count = units(length, bar)
    unit = _UNITS.get(bar.time.unit, f"1/{bar.time.unit}")
    return f"{number(count)} {unit} note{'s' if count > 1 else ''}"


def number(count: Fraction) -> str:
    """As in ``4``, ``1/2`` and ``4 1/2``."""
    whole, rest = divmod(count, 1)
    return " ".join(str(part) for part in (whole, rest) if part) or "0"
