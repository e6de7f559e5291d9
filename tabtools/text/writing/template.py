"""An empty page to start from, which the reader reads without a doubt."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from tabtools.record import NamedTuple
from tabtools.score import COMMON_TIME, Instrument, Key, Tempo, TimeSignature
from tabtools.text.words.values import duration_word
from tabtools.text.writing.counting import count_word
from tabtools.text.writing.spacing import FILLER, LEAD
from tabtools.text.writing.tunings import row_labels, tuning_text
from tabtools.text.writing.writer import tempo_text

_COLUMNS = 2  # a step of the grid; a fret has two digits at most


class Wish(NamedTuple):
    """What a new page should be. ``grid`` is the shortest note that has a column of its own, 8 for eighths;
    ``per_line`` is the number of bars in a system; ``lengths`` is ``counts``, ``letters`` or ``none``."""

    instrument: Instrument
    title: str = ""
    author: str = ""
    key: Key | None = None
    time: TimeSignature = COMMON_TIME
    tempo: Tempo | None = None
    bars: int = 8
    per_line: int = 4
    grid: int = 8
    lengths: str = "counts"


def template(wish: Wish) -> str:
    """A page of empty bars. Raises ValueError where the grid is coarser than the beat, or does not fill a
    bar."""
    if wish.grid < wish.time.unit or wish.time.length * wish.grid % 4:
        raise ValueError(f"a grid of 1/{wish.grid} notes does not hold the beats of {wish.time.name}")
    lines = [*_header(wish), ""]
    for first in range(0, wish.bars, wish.per_line):
        lines += [*_system(wish, min(wish.per_line, wish.bars - first)), ""]
    return "\n".join(lines[:-1]) + "\n"


def _header(wish: Wish) -> Iterator[str]:
    fields = {
        "Title": wish.title,
        "Author": wish.author,
        "Instrument": wish.instrument.name if wish.instrument.name != "Guitar" else "",
        "Tuning": tuning_text(wish.instrument),
        "Capo": str(wish.instrument.capo or ""),
        "Key": wish.key.name if wish.key else "",
        "Time": wish.time.name,
        "Tempo": tempo_text(wish.tempo) if wish.tempo else "",
    }
    yield from (f"{name}: {value}" for name, value in fields.items() if value)


def _system(wish: Wish, bars: int) -> Iterator[str]:
    labels = row_labels(wish.instrument)
    margin = len(labels[0])
    steps = int(wish.time.length * wish.grid / 4)
    width = LEAD + _COLUMNS * steps
    if wish.lengths == "letters":
        rest = duration_word(wish.time.length, rest=True)
        if rest is None:
            raise ValueError(f"no letter says the length of a bar of {wish.time.name}: ask for counts")
        yield (" " * (margin + 1) + bars * f" {rest}".ljust(width + 1)).rstrip()
    for label in labels:
        yield label + f"|{FILLER * width}" * bars + "|"
    if wish.lengths == "counts":
        yield (" " * (margin + 1) + bars * (_counts(wish.time, wish.grid, steps).ljust(width + 1))).rstrip()


def _counts(time: TimeSignature, grid: int, steps: int) -> str:
    """The counts of a bar, each at its column."""
    words = (count_word(Fraction(step * time.unit, grid)) for step in range(steps))
    return " " * LEAD + "".join(word.ljust(_COLUMNS) for word in words)
