"""Forms in words, as a teacher writes them over a group of notes."""

from __future__ import annotations

from tabtools.forms.position import SPAN, HandPlace
from tabtools.forms.segments import BoxReading, Reading, Segment
from tabtools.forms.table import QUALITIES


def ordinal(number: int) -> str:
    """As in ``1st``, ``12th``, ``23rd``."""
    ending = {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th")
    return f"{number}{'th' if number % 100 in (11, 12, 13) else ending}"


def form_words(form: str, quality: str) -> str:
    """A form with its quality: ``E form``, ``Em form``, ``D7 form``."""
    return f"{form}{QUALITIES[quality]} form"


def place_words(position: int) -> str:
    """Where the hand is: ``3rd position``, or ``open position``."""
    return f"{ordinal(position)} position" if position > 0 else "open position"


def reading_words(reading: Reading, position: int) -> str:
    """A form and where the first finger is: ``Em form, 5th position``."""
    return f"{form_words(reading.form, reading.quality)}, {place_words(position)}"


def anchor_words(reading: Reading) -> str:
    """A form and its anchor, which tells apart forms in one position: ``C form, anchor at fret 7``."""
    return f"{form_words(reading.form, reading.quality)}, {nut_words(reading)}"


def nut_words(reading: Reading) -> str:
    """Where a form lies on the neck: ``anchor at fret 7``, or ``at the nut``."""
    return f"anchor at fret {reading.anchor_fret}" if reading.anchor_fret > 0 else "at the nut"


def stretch_words(hand: HandPlace) -> str:
    """How far the hand leaves its position, as in ``stretch back to fret 4``; empty where it does not."""
    ways = [
        f"{'stretch' if abs(fret - edge) == 1 else 'shift'} {way} to fret {fret}"
        for way, fret, edge in (("back", hand.back, hand.fret), ("up", hand.up, hand.fret + SPAN))
        if fret is not None
    ]
    return " and ".join(ways)


def scale_words(box: BoxReading, reading: Reading | None) -> str:
    """The name of a box's scale, in the mode of its reading: ``G major pentatonic``."""
    if reading == box.major:
        return f"{box.major_root} major pentatonic"
    return f"{box.minor_root} minor pentatonic"


def box_words(box: BoxReading, reading: Reading | None) -> str:
    """A box with its number and the other scale of its notes: ``G major pentatonic, box 1, relative minor
    E``."""
    major = reading == box.major
    other = f"relative {'minor' if major else 'major'} {box.minor_root if major else box.major_root}"
    return f"{scale_words(box, reading)}, box {box.number}, {other}"


def segment_words(segment: Segment) -> str:
    """The name of a segment, as it is written over its first note; empty for a run that has none."""
    reading, position = segment.reading, segment.position
    if segment.box is not None and reading is not None:
        return f"{scale_words(segment.box, reading)}, {reading_words(reading, position)}"
    if reading is not None:
        return reading_words(reading, position)
    return ""


def short_words(segment: Segment) -> str:
    """The name of a segment as a lesson has it over the rows: ``Em form, 5th pos.``; empty for a run."""
    if segment.reading is None:
        return ""
    where = f"{ordinal(segment.position)} pos." if segment.position else "open position"
    return f"{form_words(segment.reading.form, segment.reading.quality)}, {where}"


def told_words(segment: Segment) -> str:
    """All that is said of a segment as a whole, in one line."""
    reading, box = segment.reading, segment.box
    parts = [segment_words(segment)]
    if reading is not None and box is None:
        parts[0] += f", of {reading.symbol}"
    if reading is not None and box is not None:
        parts.append(box_words(box, reading))
    parts += [segment.figure or "", stretch_words(segment.hand)]
    return "; ".join(part for part in parts if part)
