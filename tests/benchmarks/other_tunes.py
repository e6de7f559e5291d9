"""Parts of string quartets, a trio and a rag of the music21 corpus as plain numbers, sixteen bars each.

Unlike the dance tunes of `tests.benchmarks.tunes` they have ties over bar lines, rests inside bars,
syncopation, long notes and bars that begin late. Of a chord the highest note is taken.
"""

from __future__ import annotations

import warnings
from collections.abc import Iterator
from fractions import Fraction
from functools import lru_cache
from pathlib import Path
from typing import Any

from tests.benchmarks.tunes import METRES, TICKS, Tune, TuneBar
from tests.benchmarks.tunes import tunes as dance_tunes

WORKS = (
    "mozart/k155",
    "mozart/k156",
    "mozart/k458",
    "haydn/opus1no1",
    "haydn/opus74no1",
    "corelli/opus3no1",
    "beethoven/opus18no1",
    "joplin",
)
PAGE = 16
# Samples of the dance tunes that `tests.benchmarks.rhythm` does not use.
SPARE_ROUNDS = (6, 7, 8)


@lru_cache(maxsize=1)
def other_tunes() -> tuple[Tune, ...]:
    """Pages of the works and spare dance tunes, mixed in a fixed order."""
    dances = [tune for number in SPARE_ROUNDS for tune in dance_tunes(number)]
    pages = [tune for path in _paths() for tune in _pages(path)]
    rate = max(1, len(dances) // max(len(pages), 1))
    mixed: list[Tune] = []
    for at in range(max(len(pages), len(dances) // rate + 1)):
        mixed += pages[at : at + 1] + dances[at * rate : (at + 1) * rate]
    return tuple(mixed)


def _paths() -> list[Path]:
    from music21 import corpus

    found = [path for path in corpus.getCorePaths() if path.suffix in (".mxl", ".xml")]
    return sorted(path for path in found if any(work in path.as_posix() for work in WORKS))


def _pages(path: Path) -> Iterator[Tune]:
    from music21 import converter

    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        score = converter.parse(path)
    for number, part in enumerate(score.parts):
        metres = {(m.numerator, m.denominator) for m in part.recurse().getElementsByClass("TimeSignature")}
        if len(metres) == 1 and metres <= METRES:
            beats, unit = metres.pop()
            yield from _cut(f"{path.parent.name}/{path.stem}/{number}", beats, unit, part)


def _cut(name: str, beats: int, unit: int, part: Any) -> Iterator[Tune]:
    """Stretches of whole bars in which every bar can be told in ticks and some notes sound."""
    full = 4 * TICKS * beats // unit
    run: list[TuneBar] = []
    for measure in part.getElementsByClass("Measure"):
        bar = _bar(measure, full)
        run = [*run, bar] if bar else []
        if len(run) == PAGE:
            if sum(bool(bar.onsets) for bar in run) > PAGE // 2:
                yield Tune(f"{name}/{measure.number}", beats, unit, tuple(run))
            run = []


def _bar(measure: Any, full: int) -> TuneBar | None:
    """The bar's onsets, its highest notes, without the ends of ties and grace notes."""
    found: dict[int, int] = {}
    for element in measure.recurse().notes:
        tied = element.tie is not None and element.tie.type != "start"
        if tied or not element.quarterLength:
            continue
        start = Fraction(element.getOffsetInHierarchy(measure)).limit_denominator(48) * TICKS
        if start.denominator > 1 or start >= full:
            return None
        pitch = max(p.midi for p in element.pitches) if element.pitches else 60
        found[int(start)] = max(found.get(int(start), 0), pitch)
    return TuneBar(full, tuple(sorted(found.items())))
