"""Repairs of letters that were typed for digits."""

from __future__ import annotations

from tabtools.lint.finding import Edit, Fix
from tabtools.lint.view import View
from tabtools.source import Doubt

_DIGITS = {"O": "0", "o": "0", "l": "1", "I": "1"}
_BESIDE = "-|"


def as_digit(view: View, doubt: Doubt) -> tuple[Fix, ...]:
    """The digit in the place of a letter that looks like it and stands alone between fillers or bar lines.
    It adds a note to what was read, and so is asked for."""
    text, span = view.document.source.text, doubt.span
    digit = _DIGITS.get(text[span.start : span.end])
    if digit is None or any(
        sign not in _BESIDE for sign in text[span.start - 1] + text[span.end : span.end + 1]
    ):
        return ()
    return (Fix((Edit(span, digit),), f'write the digit {digit} for the letter "{doubt.values[0]}"', False),)
