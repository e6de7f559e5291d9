"""Elements that should hold a number, a pitch or a metre, and hold none: they count as missing."""

from __future__ import annotations

from collections.abc import Iterator

from lxml import etree

from tabtools.musicxml.clean.fault import Fault
from tabtools.musicxml.located import Located

RULE = "unreadable-value"
_WANTED = {
    "pitch": "a step from A to G, an octave, and whole or broken semitones in <alter>",
    "duration": "a number of divisions, 0 or more",
    "divisions": "a number above 0",
    "time": "beats and a beat type that make a metre",
    "staff": "the number of a staff, from 1",
    "time-modification": "how many notes stand in the time of how many",
}


def faults(located: Located) -> Iterator[Fault]:
    """A fault for every element whose value was left out."""
    for element in located.faulty:
        wanted = _WANTED.get(str(element.tag), "a whole number")
        message = (
            f"<{element.tag}> should hold {wanted}, and holds {_shown(element)}: it is read as if it were "
            "not there; correct it"
        )
        yield Fault(RULE, located.extents[element].span, message)


def _shown(element: etree._Element) -> str:
    text = " ".join("".join(map(str, element.itertext())).split())
    return f"{text[:40]!r}" if text else "nothing"
