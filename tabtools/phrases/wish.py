"""What is asked of a phrase that is to move, and what a move gives back."""

from __future__ import annotations

from tabtools.phrases.names import UNISON, Interval
from tabtools.record import NamedTuple
from tabtools.score import Instrument, Score


class Wish(NamedTuple):
    """Where a phrase should go.

    ``interval`` moves its pitches. ``form`` is the letter of the movable form that each group of notes should
    come from, ``position`` the fret of the first finger; the pitches stay then, but for octaves.
    ``instrument`` is another one, another tuning or capo. ``bars`` are the numbers of the bars that move, all
    of them when empty; ``part`` is the place of the part that moves, None for all.
    """

    interval: Interval = UNISON
    form: str | None = None
    position: int | None = None
    instrument: Instrument | None = None
    bars: frozenset[int] = frozenset()
    part: int | None = None
    hand: str = "medium"


class Told(NamedTuple):
    """Something that the user should know about a bar: what was done there, or why it can't move. ``bar`` is
    its number, 0 for the page as a whole."""

    part: int
    bar: int
    message: str

    @property
    def words(self) -> str:
        """As in ``bar 3: …``."""
        return f"bar {self.bar}: {self.message}" if self.bar else self.message


class Moved(NamedTuple):
    """The score after a move. ``refused`` are the bars that can't move, with the reason: then the score is
    the one from before. ``told`` is what changed beside the notes."""

    score: Score
    refused: tuple[Told, ...] = ()
    told: tuple[Told, ...] = ()
