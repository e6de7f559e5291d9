"""What a page says about its rhythm in words: ``Rhythm: q e e | q q``, ``Rhythm: even eighths``, ``Swing
feel``. The words are common practice, no source."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from fractions import Fraction
from functools import lru_cache

from tabtools.record import NamedTuple
from tabtools.score import Feel, Quarters
from tabtools.text.patterns import lazy
from tabtools.text.rhythm.letters import alike, total
from tabtools.text.rhythm.records import BarColumns, Timing
from tabtools.text.rhythm.timing import until_next
from tabtools.text.words.values import read_duration

_VALUES = {"quarter": 1, "eighth": 2, "8th": 2, "sixteenth": 4, "16th": 4}
_EVEN = lazy(
    r"\b(?P<how>all|even|steady|straight)\b[ a-z]*?[ -](?P<value>quarter|eighth|sixteenth|8th|16th)s?"
    r"(?:[- ]notes?)?(?P<thirds>[ -]triplets?)?",
    re.IGNORECASE,
)
_FEEL = lazy(
    r"\b(?:(?P<straight>straight|not swung|no swing)|(?P<shuffle>shuffle)|(?P<half>half[- ]time)"
    r"|(?P<swing>swing|swung|triplet[- ]feel))\b",
    re.IGNORECASE,
)
_SIXTEENTHS = lazy(r"sixteenth|16th", re.IGNORECASE)


class Said(NamedTuple):
    """The letters of each bar in turns, the length of even notes in quarter notes, and how notes are felt;
    empty or None where nothing says it."""

    letters: tuple[tuple[str, ...], ...] = ()
    even: Quarters | None = None
    feel: Feel | None = None


NOTHING = Said()


@lru_cache(maxsize=64)
def read_said(lines: tuple[str, ...]) -> Said:
    """What some lines of a header say about rhythm; the first of each kind holds."""
    said = Said()
    for line in lines:
        bars = tuple(tuple(bar.split()) for bar in line.strip(" |").split("|"))
        if not said.letters and all(bars) and all(map(read_duration, (word for bar in bars for word in bar))):
            said = said._replace(letters=bars)
        if said.even is None and (even := _EVEN.search(line)):
            value = Fraction(1, _VALUES[even["value"].lower()])
            said = said._replace(even=value * 2 / 3 if even["thirds"] else value)
        if said.feel is None and (felt := _FEEL.search(line)):
            said = said._replace(feel=_feel(felt.lastgroup or "", line))
    return said


def _feel(name: str, line: str) -> Feel:
    unit = Fraction(1, 4) if _SIXTEENTHS.search(line) else Fraction(1, 2)
    if name in ("swing", "shuffle"):
        return Feel(name, 2, 1, unit)
    return Feel("half-time" if name == "half" else name, 1, 1, unit)


def told(said: Said, bars: Sequence[BarColumns]) -> list[Timing | None]:
    """The timing of the bars that the words fit: as many notes as letters, or even notes that fill the bar
    or whose columns say nothing else."""
    return [_told(said, bar, number) for number, bar in enumerate(bars)]


def _told(said: Said, bar: BarColumns, number: int) -> Timing | None:
    if bar.letters or bar.counts or not bar.onsets:
        return None
    if said.letters:
        return _by_letters(said.letters[number % len(said.letters)], bar)
    count, length = len(bar.onsets), bar.time.length
    full = said.even is not None and count * said.even == length
    if said.even is None or count * said.even > length or not (full or alike(bar.onsets)):
        return None
    return until_next([said.even * place for place in range(count)], length, None)


def _by_letters(words: Iterable[str], bar: BarColumns) -> Timing | None:
    """The bar with the letters of a line that says the rhythm of every bar."""
    onsets: list[Quarters] = []
    durations: list[Quarters] = []
    rests: list[tuple[Quarters, Quarters]] = []
    now = Fraction(0)
    for value, rest in filter(None, map(read_duration, words)):
        if rest:
            rests.append((now, value))
        else:
            onsets.append(now)
            durations.append(value)
        now += value
    timing = Timing(tuple(onsets), tuple(durations), tuple(rests))
    return timing if len(onsets) == len(bar.onsets) and total(timing) == bar.time.length else None
