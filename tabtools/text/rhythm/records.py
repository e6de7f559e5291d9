"""What goes into the rhythm stage and what comes out of it."""

from __future__ import annotations

from tabtools.record import NamedTuple
from tabtools.score import COMMON_TIME, Inferred, Quarters, TimeSignature

# Below this the reading of a bar is reported as unclear.
UNCLEAR = 0.9
# A bar of more notes is not read from its columns, whose weighing would take the square of them: three times
# the thirty-second notes of 12/8.
MOST_ONSETS = 144
# The most that is believed of a reading beside which another makes as much sense.
CAPPED = 0.6
EVEN = Inferred("rhythm", "even notes", 0.3)


class Extent(NamedTuple):
    """What stands at one onset: columns taken by its ``digits`` and by digits and marks together (``cell``),
    how many ``notes`` are struck, and whether they are ``joined`` to the note before, not picked."""

    digits: int = 1
    cell: int = 1
    notes: int = 1
    joined: bool = False


class BarColumns(NamedTuple):
    """One bar as it stands on the page. Columns count from the first one after the bar line.

    ``onsets`` are the columns of notes that take time, ascending; ``letters`` and ``counts`` are the words
    of such rows over or under this bar, with their columns; ``brackets`` the columns from and up to which
    those of triplets reach. ``extents`` say what stands at each onset; none
    means single digits. ``assumed`` is true where no metre is written anywhere before the bar, ``doubtful``
    where another one than ``time`` makes as much sense.
    """

    onsets: tuple[int, ...]
    width: int
    time: TimeSignature
    letters: tuple[tuple[int, str], ...] = ()
    counts: tuple[tuple[int, str], ...] = ()
    extents: tuple[Extent, ...] = ()
    assumed: bool = False
    brackets: tuple[tuple[int, int], ...] = ()
    doubtful: bool = False


class Timing(NamedTuple):
    """Onset and duration of every onset column of a bar, and the rests between, in quarter notes.

    ``inferred`` is None where the page wrote the durations. ``pickup`` marks a bar that is short on purpose.
    ``other`` are the onsets of the second reading, where there is one; ``mismatch`` are the onsets of
    notes that stand apart from their counts: all of them where the counts do not fit the bar at all.
    ``time`` is the metre, as given or as worked out.
    """

    onsets: tuple[Quarters, ...]
    durations: tuple[Quarters, ...]
    rests: tuple[tuple[Quarters, Quarters], ...] = ()
    inferred: Inferred | None = None
    pickup: bool = False
    other: tuple[Quarters, ...] = ()
    mismatch: tuple[Quarters, ...] = ()
    time: TimeSignature = COMMON_TIME
