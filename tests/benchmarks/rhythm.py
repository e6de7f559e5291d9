"""How well rhythm is read from columns: `python -m tests.benchmarks.rhythm [--half dev|test|all] [HABIT …]`.

Traditional tunes (`tests.benchmarks.tunes`) become pages (`tests.benchmarks.tab_pages`) in many people's
spacing; the pages are read, written as MusicXML, and a share of that is read back with music21. A bar is
right when every onset is; a bar is flagged when the tool says that it is unclear.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Iterable, Iterator, Sequence
from fractions import Fraction
from functools import lru_cache
from typing import NamedTuple

from tabtools.document import Document
from tabtools.musicxml.writer import write_musicxml
from tabtools.score import Bar
from tabtools.source import Source
from tabtools.text.reader import read_text
from tabtools.text.rhythm import UNCLEAR, BarColumns, read_rhythm
from tabtools.text.systems import read_page
from tabtools.text.timed import bar_columns
from tests.benchmarks.other_tunes import other_tunes
from tests.benchmarks.rhythm_habits import FURTHER, HABITS, LICKS, OTHERS, VARIATIONS
from tests.benchmarks.rhythm_material import material
from tests.benchmarks.tab_habits import Habit
from tests.benchmarks.tab_pages import Page, page
from tests.benchmarks.tunes import TICKS, Tune, tunes

WANTED = 600
XML_SHARE = 8
# Two writers who now and then leave the same page: no reader can be sure of the one and doubt the other.
_TWINS = ("2 a step, lead", "packed")
# How many samples of the collections there are, each with tunes of its own.
ROUNDS = 6
# The first tune of a half of them, and how many further on the next one is.
_HALVES = {"dev": (0, 2), "test": (1, 2), "all": (0, 1)}


class Result(NamedTuple):
    """Of the bars with onsets: how many, right, flagged, wrong without a flag, right with one; the bars that
    do not add up; seconds of reading pages and of rhythm alone."""

    bars: int
    right: int
    flagged: int
    wrong: int
    needless: int
    unsound: int
    reading: float
    rhythm: float


def measure(habit: Habit, given: Iterable[Tune], wanted: int = WANTED) -> Result:
    """Read pages in a habit until there are enough bars."""
    total = Result(0, 0, 0, 0, 0, 0, 0.0, 0.0)
    for seed, tune in enumerate(material(habit, given)):
        if total.bars >= wanted:
            break
        found = _read(page(tune, habit, seed), seed % XML_SHARE == 0)
        total = Result._make(a + b for a, b in zip(total, found, strict=True))
    return total


def _read(made: Page, with_xml: bool) -> Result:
    source = Source("page.txt", made.text)
    rhythm = _rhythm_seconds(made.text)
    start = time.process_time()
    document = read_text(source)
    reading = time.process_time() - start
    bars = [bar for part in document.score.parts for bar in part.bars]
    if len(bars) != len(made.onsets):
        raise SystemExit(f"{len(bars)} bars of {len(made.onsets)}:\n{made.text}")
    if with_xml:
        _same_in_music21(document)
    result = Result(0, 0, 0, 0, 0, 0, reading, rhythm)
    for bar, truth in zip(bars, made.onsets, strict=True):
        if truth:
            result = _judged(result, bar, truth)
    return result


def _judged(result: Result, bar: Bar, truth: Sequence[int]) -> Result:
    right = [event.onset * TICKS for event in bar.events if event.notes] == list(truth)
    flagged = any(fact.confidence < UNCLEAR for event in bar.events for fact in event.inferred)
    filled = sum(event.duration for event in bar.events)
    return result._replace(
        bars=result.bars + 1,
        right=result.right + right,
        flagged=result.flagged + flagged,
        wrong=result.wrong + (not right and not flagged),
        needless=result.needless + (right and flagged),
        unsound=result.unsound + (filled != bar.time.length and not bar.pickup),
    )


def _rhythm_seconds(text: str) -> float:
    columns = [bar_columns(systems) for systems in read_page(Source("page.txt", text)).parts]
    start = time.process_time()
    for bars in columns:
        read_rhythm(bars)
    return time.process_time() - start


def _same_in_music21(document: Document) -> None:
    """The MusicXML that is written, read by music21: every bar with the onsets of the score, and whole."""
    from music21 import converter, harmony

    part = converter.parse(write_musicxml(document.score).decode("utf-8"), format="musicxml").parts[0]
    for bar, measure in zip(document.score.parts[0].bars, part.getElementsByClass("Measure"), strict=True):
        heard = {
            Fraction(note.getOffsetInHierarchy(measure)).limit_denominator(96)
            for note in measure.recurse().notes
            if not isinstance(note, harmony.Harmony) and (note.tie is None or note.tie.type == "start")
        }
        assert heard == {event.onset for event in bar.events if event.notes}, bar.number
        length = max(
            Fraction(voice.highestTime).limit_denominator(96) for voice in (*measure.voices, measure)
        )
        assert length == (bar.length if bar.pickup else bar.time.length), (
            bar.number,
            length,
            bar.time,
            heard,
        )


def _show(name: str, result: Result) -> Result:
    bars = max(result.bars, 1)
    sure = bars - result.flagged
    calibrated = 100 * (1 - result.wrong / sure) if sure else 100.0
    print(
        f"{name:28}{result.bars:6}{100 * result.right / bars:8.1f}{100 * result.flagged / bars:9.1f}"
        f"{calibrated:12.2f}{result.wrong:7}{100 * result.needless / max(result.right, 1):10.1f}"
        f"{result.unsound:9}{bars / max(result.rhythm, 1e-9):10.0f}{bars / max(result.reading, 1e-9):9.0f}",
        flush=True,
    )
    return result


def _same_text(given: Iterable[Tune], wanted: int) -> None:
    """How much of an even writer's music is, character for character, the page of a packed writer too."""
    even, packed = (next(habit for habit in HABITS if habit.name == name) for name in _TWINS)
    bars = same = 0
    for seed, tune in enumerate(material(even, given)):
        if bars >= wanted:
            break
        made = page(tune, even, seed)
        own = sum(map(bool, made.onsets))
        bars += own
        same += own if made.text == page(tune, packed, seed).text else 0
    print(
        f"{same} of {bars} bars of {_TWINS[0]!r} stand on pages that are those of {_TWINS[1]!r} to the letter"
    )


def _growth(given: Sequence[Tune]) -> None:
    """One page of 20 bars, and parts of n and of 2n bars: two sets of tunes in one metre by one writer, each
    alone and both together, so that what is compared is equally hard and nothing is only remembered."""
    pages = [page(tune, HABITS[0], 0) for tune in material(HABITS[0], given)]
    short = next(made for made in pages if len(made.onsets) == 20)
    once = min(_seconds(short.text) for _ in range(9))
    print(
        f"\na page of 20 bars: {1000 * once:.1f} ms read, rhythm {1000 * _rhythm_seconds(short.text):.1f} ms"
    )
    four = [made.text for made in pages if "Time: 2/4" in made.text]
    halves = [
        [bar for text in texts for bar in bar_columns(read_page(Source("p", text)).parts[0])]
        for texts in (four[::2], four[1::2])
    ]
    count = min(map(len, halves))
    first, second = (half[:count] for half in halves)
    alone = (_part_seconds(first) + _part_seconds(second)) / 2
    both = _part_seconds(first + second)
    print(f"time(2n)/time(n), n = {count}: {both / alone:.2f}; {2 * count / both:.0f} bars a second")


def _part_seconds(bars: Sequence[BarColumns]) -> float:
    """The least of some times of reading a part."""
    found = []
    for _ in range(5):
        start = time.process_time()
        read_rhythm(bars)
        found.append(time.process_time() - start)
    return min(found)


def _seconds(text: str) -> float:
    start = time.process_time()
    read_text(Source("page.txt", text))
    return time.process_time() - start


@lru_cache(maxsize=ROUNDS)
def _round(number: int) -> tuple[Tune, ...]:
    return tuple(tunes(number))


def tunes_of(half: str) -> Iterator[Tune]:
    """The tunes of a half, and others after them for habits that few tunes suit."""
    first, step = _HALVES[half]
    for number in range(ROUNDS):
        yield from _round(number)[first::step]


def others(half: str) -> Sequence[Tune]:
    """The tunes of another kind of a half."""
    first, step = _HALVES[half]
    return other_tunes()[first::step]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--half", choices=("dev", "test", "all"), default="all")
    parser.add_argument("--bars", type=int, default=WANTED)
    parser.add_argument("habits", nargs="*")
    chosen = parser.parse_args()
    print(
        f"{'habit':28}{'bars':>6}{'right %':>8}{'flagged %':>10}{'of sure %':>11}"
        f"{'wrong':>7}{'needless %':>11}{'unsound':>8}{'rhythm/s':>10}{'read/s':>9}"
    )
    sets = (
        ("", HABITS),
        ("-- licks", LICKS),
        ("-- variations", VARIATIONS),
        ("-- other writers", OTHERS),
        ("-- further writers", FURTHER),
    )
    for title, habits in sets:
        if title:
            print(title)
        found = []
        for habit in habits:
            if not chosen.habits or any(word in habit.name for word in chosen.habits):
                given = others(chosen.half) if habits in (OTHERS, FURTHER) else tunes_of(chosen.half)
                found.append(_show(habit.name, measure(habit, given, chosen.bars)))
        if seconds := sum(result.rhythm for result in found):
            print(f"{sum(result.bars for result in found) / seconds:.0f} bars a second, rhythm alone")
    _same_text(tunes_of(chosen.half), chosen.bars)
    _growth(_round(0))


if __name__ == "__main__":
    main()
