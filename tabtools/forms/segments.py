"""What a group of notes is called: the form or box that it comes from, and what every note is in it.

`tabtools.forms.naming.name_forms` gives these records; everything that shows forms reads them.
"""

from __future__ import annotations

from tabtools.forms.position import HandPlace
from tabtools.forms.roles import Role
from tabtools.forms.table import QUALITIES
from tabtools.record import NamedTuple
from tabtools.score import Bar, Event, Note
from tabtools.timeline import NoteIndex


class Reading(NamedTuple):
    """A form: its letter, the quality, the root that sounds, and where it lies.

    ``anchor_fret`` takes the place of the nut; it counts from the capo and on strings that keep the common
    tuning, and is below 0 where a string is tuned down. The position of the hand is the segment's own.
    ``barre_fret`` is where a finger lies across strings in the whole grip; None where no barre is needed.
    """

    form: str
    quality: str
    root: str
    anchor_fret: int
    barre_fret: int | None = None

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
    """A note with its part in the segment: ``member`` of the form or box, what it is, and where it stands."""

    bar: Bar
    event: Event
    note: Note
    member: bool
    role: Role
    where: NoteIndex


class Segment(NamedTuple):
    """Notes in a row that belong together. ``part`` counts the parts from 0.

    ``kind`` is ``form``, ``pentatonic`` or ``run``; a run has no reading. ``reading`` of a box is its form
    in the mode that key or chord speak for. ``frets`` are the lowest and highest fret, of the box where it
    is one; ``hand`` is the position, the fret of the first finger, and how far the hand leaves it.
    ``confidence`` is 0 to 1; ``margin`` to the best reading of another chord counts the cost of one segment
    as 1, None where there is no such reading. ``equal_readings`` fit just as well. ``scale`` is the name of
    the whole scale that a run goes through, where it does. ``figure`` says what the notes do: ``sixths on
    strings 3 and 1, from the E form to the D form``; None where there is nothing to say.
    """

    part: int
    kind: str
    notes: tuple[NamedNote, ...]
    frets: tuple[int, int]
    hand: HandPlace
    confidence: float
    reading: Reading | None = None
    box: BoxReading | None = None
    margin: float | None = None
    equal_readings: tuple[Reading, ...] = ()
    readings: tuple[Reading, ...] = ()
    scale: str | None = None
    figure: str | None = None

    @property
    def sure(self) -> bool:
        """Whether the reading is more likely than all others together."""
        return self.confidence >= 0.5

    @property
    def position(self) -> int:
        """The fret of the first finger, counted from the capo; 0 for the open position."""
        return self.hand.fret
