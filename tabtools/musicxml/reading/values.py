"""Numbers and names out of elements, with an error that says where when they are not what they should be."""

from __future__ import annotations

from fractions import Fraction
from functools import lru_cache

from lxml import etree

from tabtools.source import UnreadableError


def line_of(element: etree._Element) -> int:
    """The line that an element starts on."""
    line = element.sourceline
    return line if isinstance(line, int) else 1


def text_of(element: etree._Element | None) -> str:
    """The text of an element without surrounding space; empty where there is none."""
    return (element.text or "").strip() if element is not None else ""


def number(element: etree._Element) -> Fraction:
    """The number in an element. Raises UnreadableError, with the line, for anything else."""
    value = _number(element.text or "")
    if value is None:
        raise UnreadableError(
            f"<{element.tag}> should hold a number and holds {element.text!r}", line_of(element)
        )
    return value


def whole(element: etree._Element) -> int:
    """The number in an element, rounded. Raises UnreadableError for anything else."""
    return round(number(element))


def staff_number(element: etree._Element) -> int:
    """The staff that the ``number`` attribute of an element names: 1 where it names none.

    Raises UnreadableError for anything but a number.
    """
    text = element.get("number") or "1"
    if not text.isdecimal():
        raise UnreadableError(f'<{element.tag} number="{text}"> names no staff', line_of(element))
    return int(text)


@lru_cache(maxsize=1024)
def _number(text: str) -> Fraction | None:
    # A fraction or an exponent is a number to Fraction, but not to XML.
    if "/" in text or "e" in text.lower():
        return None
    try:
        return Fraction(text.strip())
    except ValueError:
        return None
