"""Traditional tunes of the music21 corpus as plain numbers: bars of (tick, pitch), 24 ticks a quarter.

The collections are those that music21 ships as ABC: Ryan's Mammoth Collection, O'Neill's 1850, Aird's Airs
and the Essen folk songs. Every n-th tune is taken, so that all of a collection's metres are there.
"""

from __future__ import annotations

import re
import warnings
from collections.abc import Iterator
from fractions import Fraction
from typing import Any, NamedTuple

TICKS = 24
METRES = {(2, 4), (3, 4), (4, 4), (2, 2), (6, 8), (9, 8), (3, 8), (12, 8), (5, 4), (7, 8)}
# Collection, of how many files every one is taken, and of how many tunes in a file.
COLLECTIONS = (("ryansMammoth", 9, 1), ("oneills1850", 4, 9), ("airdsAirs", 2, 6), ("essenFolksong", 4, 19))


class TuneBar(NamedTuple):
    """``length`` in ticks; the onsets in ticks with the MIDI number that is struck."""

    length: int
    onsets: tuple[tuple[int, int], ...]


class Tune(NamedTuple):
    name: str
    beats: int
    unit: int
    bars: tuple[TuneBar, ...]

    @property
    def full(self) -> int:
        """The length of a whole bar in ticks."""
        return 4 * TICKS * self.beats // self.unit

    @property
    def has_thirds(self) -> bool:
        return any(tick % 3 for bar in self.bars for tick, _ in bar.onsets)


def tunes(after: int = 0) -> Iterator[Tune]:
    """The tunes in a fixed order, those that music21 reads as one line in one metre; or of each file that is
    taken the tunes, and of one-tune files the files, so many ``after`` them."""
    from music21 import corpus

    paths = sorted(path for path in corpus.getCorePaths() if path.suffix == ".abc")
    for name, of_files, of_tunes in COLLECTIONS:
        for path in [p for p in paths if p.parent.name == name][after * (of_tunes == 1) :: of_files]:
            blocks = re.split(r"(?m)^(?=X:)", path.read_text("utf-8", errors="replace"))
            found = [block for block in blocks if block.startswith("X:")][after * (of_tunes > 1) :: of_tunes]
            for number, block in enumerate(found):
                if tune := _tune(f"{name}/{path.stem}/{number}", block):
                    yield tune


def _tune(name: str, abc: str) -> Tune | None:
    from music21 import converter

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            part = converter.parse(abc, format="abc", forceSource=True).parts[0]
            metres = {
                (m.numerator, m.denominator) for m in part.recurse().getElementsByClass("TimeSignature")
            }
            bars = [_bar(measure) for measure in part.getElementsByClass("Measure")]
    except Exception:  # what music21 cannot read is no material
        return None
    read = [bar for bar in bars if bar is not None]
    if len(metres) != 1 or not metres <= METRES or len(read) != len(bars) or len(read) < 6:
        return None
    beats, unit = metres.pop()
    tune = Tune(name, beats, unit, tuple(read))
    sound = all(bar.length <= tune.full for bar in read) and sum(b.length == tune.full for b in read) > 5
    return tune if sound else None


def _bar(measure: Any) -> TuneBar | None:
    """The bar's onsets without tied notes and grace notes; None where it holds chords or odd values."""
    onsets = []
    length = Fraction(0)
    for element in measure.flatten().notesAndRests:
        if element.isChord:
            return None
        start, lasts = (Fraction(v).limit_denominator(48) for v in (element.offset, element.quarterLength))
        length = max(length, start + lasts)
        if lasts and element.isNote and (element.tie is None or element.tie.type == "start"):
            if (start * TICKS).denominator > 1:
                return None
            onsets.append((int(start * TICKS), element.pitch.midi))
    if (length * TICKS).denominator > 1 or len({tick for tick, _ in onsets}) != len(onsets):
        return None
    return TuneBar(int(length * TICKS), tuple(onsets))
