"""What a group of notes is called: the form or box that it comes from, and what every note is in it."""

from __future__ import annotations

from tabtools.forms.table import BARRE, QUALITIES
from tabtools.record import NamedTuple
from tabtools.score import Bar, Event, Note


class Reading(NamedTuple):
    """A form: its letter, the quality, the root that sounds, and where it lies.

    ``anchor_fret`` takes the place of the nut, ``barre_fret`` is where the everyday barre lies; both count
    from the capo and on strings that keep the common tuning. Below 0 where a string is tuned down.
    """

    form: str
    quality: str
    root: str
    anchor_fret: int

    @property
    def barre_fret(self) -> int:
        """The fret of the barre: the anchor, and two frets above it in the D form."""
        return self.anchor_fret + BARRE[self.form]

    @property
    def symbol(self) -> str:
        """The chord symbol, as in ``F#m7``."""
        return self.root + QUALITIES[self.quality]


class BoxReading(NamedTuple):
    """A pentatonic box with the tonics of its minor and its relative major scale."""

    number: int
    minor_root: str
    major_root: str
    minor: Reading
    major: Reading


class NamedNote(NamedTuple):
    """A note with its part in the segment: ``member`` of the form or box, and its role in words."""

    bar: Bar
    event: Event
    note: Note
    member: bool
    role: str


class Segment(NamedTuple):
    """Notes in a row that belong together. ``part`` counts the parts from 0.

    ``kind`` is ``form``, ``pentatonic`` or ``run``; a run has no reading. ``reading`` of a box is its form
    in the mode that key or chord speak for. ``position`` is the lowest and highest fret, of the box where
    it is one. ``confidence`` is 0 to 1; ``margin`` to the best reading of another chord counts the cost of
    one segment as 1, None where there is no such reading. ``equal_readings`` fit just as well. ``scale`` is
    the name of the whole scale that a run goes through, where it does.
    """

    part: int
    kind: str
    notes: tuple[NamedNote, ...]
    position: tuple[int, int]
    confidence: float
    reading: Reading | None = None
    box: BoxReading | None = None
    margin: float | None = None
    equal_readings: tuple[Reading, ...] = ()
    readings: tuple[Reading, ...] = ()
    scale: str | None = None

    @property
    def sure(self) -> bool:
        """Whether the reading is more likely than all others together."""
        return self.confidence >= 0.5
