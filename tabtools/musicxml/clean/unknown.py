"""Elements and attributes that MusicXML does not have."""

from __future__ import annotations

from collections.abc import Iterator

from tabtools.musicxml.account import unknown
from tabtools.musicxml.clean.fault import Fault
from tabtools.musicxml.located import Located
from tabtools.source import Span

RULE = "unknown-element"


def faults(located: Located) -> Iterator[Fault]:
    """A fault for every one of them."""
    for element, names in unknown(located):
        extent = located.extents[element]
        message = (
            f"MusicXML 4.0 has no {names}: nobody knows what it says, and it is passed over; correct it "
            "or take it out"
        )
        yield Fault(RULE, Span(extent.start, extent.inner), message)
