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

    ``growth``: gaps grow by so many columns with every doubling of a note's length, from ``columns``
    for the page's shortest. ``apart`` leaves so many further columns before every beat. ``wander``: the
    hyphens before the first note vary by up to so many; ``ahead``: the first bar of a line has so many
    more. ``lines`` are the columns of a step in the lines of a page, in turns. ``drift`` is the share
    of notes with a column too many or too few before them, which moves all that follows. ``push`` is
    ``some`` where half of the numbers push, by lot. ``padded`` is ``left`` where the hyphens that fill
    a bar up stand before the notes; ``multiple`` fills every bar up to a multiple of so many columns.
    ``each``: hyphens stand for time, every number takes a column besides. ``bends`` is the share of
    notes that are bent (``7b9``), ``names`` sets chord names over the bars, ``repeats`` signs of
    repetition at the ends of a line; ``unwritten`` names no metre.
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
    padded: str = ""
    packed: int = 0
    stray: float = 0.0
    high: bool = False
    chords: float = 0.0
    legato: float = 0.0
    rests: float = 0.0
    holes: float = 0.0
    bars: int = 0
    growth: float = 0.0
    apart: int = 0
    wander: int = 0
    ahead: int = 0
    lines: tuple[int, ...] = ()
    drift: float = 0.0
    multiple: int = 0
    each: bool = False
    bends: float = 0.0
    names: bool = False
    repeats: bool = False
    unwritten: bool = False
