"""Forms in words, as a teacher writes them over a group of notes."""

from __future__ import annotations

from tabtools.forms.segments import BoxReading, Reading, Segment
from tabtools.forms.table import QUALITIES


def ordinal(number: int) -> str:
    """As in ``1st``, ``12th``, ``23rd``."""
    ending = {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{'th' if number % 100 in (11, 12, 13) else ending}"


def form_words(form: str, quality: str) -> str:
    """A form with its quality: ``E form``, ``Em form``, ``D7 form``."""
    return f"{form}{QUALITIES[quality]} form"


def place_words(anchor: int) -> str:
    """Where a form lies: ``3rd position``, or ``open position`` at the nut."""
    return f"{ordinal(anchor)} position" if anchor > 0 else "open position"


def reading_words(reading: Reading) -> str:
    """A form and its place: ``Em form, 5th position``."""
    return f"{form_words(reading.form, reading.quality)}, {place_words(reading.anchor_fret)}"


def scale_words(box: BoxReading, reading: Reading | None) -> str:
    """The name of a box's scale, in the mode of its reading: ``G major pentatonic``."""
    if reading == box.major:
        return f"{box.major_root} major pentatonic"
    return f"{box.minor_root} minor pentatonic"


def segment_words(segment: Segment) -> str:
    """The name of a segment, as it is written over its first note; empty for a run, which has none."""
    if segment.kind == "form" and segment.reading is not None:
        return reading_words(segment.reading)
    if segment.box is not None and segment.reading is not None:
        scale = scale_words(segment.box, segment.reading)
        return f"{scale}, {reading_words(segment.reading)}"
    return ""
