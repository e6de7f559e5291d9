"""What a writer of text tab does with columns, as the benchmark's renderer is told it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Habit:
    """``step`` is ``file`` or ``bar`` (the finest that is used there), or ticks; ``columns`` of it.

    ``lead`` and ``trail``: hyphens before the first note and behind the last step. ``push``: ``digits``
    inserts a column for each further digit, ``tight`` only where there is no room; ``right`` lets wide
    numbers end, not begin, at their columns. ``shared`` stretches the bars of a line to one width,
    ``padded`` fills them up to it; ``packed`` leaves so many hyphens after every note, and one more after a
    share of ``stray``. ``bars`` cuts the tune into licks of so many bars, none of them spaced by more than
    an eighth a step. ``slips`` is the share of notes that stand a column off, ``far`` that of two columns;
    ``rests`` the share of bars that begin with one, ``holes`` that of notes that are left out. ``over`` is
    ``counts`` or ``letters``, in a ``style``.
    """

    name: str
    columns: int = 2
    step: str | int = "file"
    lead: int = 1
    trail: int = 0
    push: str = ""
    right: bool = False
    slips: float = 0.0
    far: float = 0.0
    over: str = ""
    style: str = ""
    material: str = "straight"
    shared: bool = False
    padded: bool = False
    packed: int = 0
    stray: float = 0.0
    high: bool = False
    chords: float = 0.0
    legato: float = 0.0
    rests: float = 0.0
    holes: float = 0.0
    bars: int = 0
