"""The marks of a page: those of the table of techniques, and what its own legend makes of them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from fractions import Fraction
from functools import lru_cache

from tabtools.record import NamedTuple
from tabtools.techniques import BY_NAME, TECHNIQUES

RELEASE = "r"
RELEASES = "rR"
DEAD = "xX"
RELEASED = {"bend": "bend-release", "prebend": "prebend-release"}

# What a legend names that the score does not hold: fingers, strokes, accents.
IGNORED = ""
# Accent and staccato, behind a fret or over it: how loud and how long, which the score does not hold.
ARTICULATIONS = ">."
# How far the arm dips stands between: \2/. Only a legend tells it from slides in and out.
DIP = "\\/"

Legend = tuple[tuple[str, str], ...]


class Marks(NamedTuple):
    """The names of techniques by mark and place; ``token`` finds the tokens of a row. ``sizes`` are the
    semitones that a mark says by itself, ``ignored`` the marks of what the score does not hold."""

    joins: dict[str, str]
    before: dict[str, str]
    after: dict[str, str]
    around: dict[tuple[str, str], str]
    closing: dict[str, str]
    sized: dict[str, str]
    above: dict[str, str]
    sizes: dict[str, Fraction]
    ignored: frozenset[str]
    token: re.Pattern[str]


@lru_cache(maxsize=256)
def marks_for(legend: Legend = ()) -> Marks:
    """The marks that hold on a page whose legend says these (mark, name of the technique) pairs."""
    joins = {mark: kind.name for kind in TECHNIQUES for mark in kind.between}
    before = {mark: kind.name for kind in TECHNIQUES for mark in kind.before}
    after = {mark: kind.name for kind in TECHNIQUES for mark in (*kind.after, *kind.also)}
    around = {pair: kind.name for kind in TECHNIQUES for pair in kind.around}
    above = {mark: kind.name for kind in TECHNIQUES for mark in kind.above}
    sizes = {mark: Fraction(word.partition(":")[2]) for mark, word in legend if ":" in word}
    ignored = frozenset(mark for mark, name in legend if name == IGNORED)
    for mark, word in legend:
        name = word.partition(":")[0]
        for table in (joins, before, after, above) if name != IGNORED else ():
            table.pop(mark, None)
        pair = (mark[0], mark[-1])
        if len(mark) == 2 and pair in around:
            around[pair] = name
        else:
            _place(mark, name, joins, before, after, above)
    closing = dict(around.keys())
    sized = {mark: name for mark, name in after.items() if BY_NAME[name].value}
    token = _pattern((*joins, *before, *after, *ignored, *(mark for pair in around for mark in pair)))
    return Marks(joins, before, after, around, closing, sized, above, sizes, ignored, token)


def _place(mark: str, name: str, joins: dict[str, str], *others: dict[str, str]) -> None:
    """A mark of the legend stands wherever a technique of that kind can."""
    before, after, above = others
    above[mark] = name
    if name == IGNORED:
        return
    kind = BY_NAME[name]
    if kind.joins and name != "tie":
        joins[mark] = name
    elif kind.value:
        after[mark] = name
    else:
        before[mark] = after[mark] = name


def _pattern(written: Iterable[str]) -> re.Pattern[str]:
    marks = {*written, *RELEASES, *DEAD, *ARTICULATIONS}
    words = "|".join(re.escape(mark) for mark in sorted(marks, key=lambda mark: (-len(mark), mark)))
    dip = r"|(?P<dip>\\\d{0,2}/)" if DIP in marks else ""
    # Dots of a repeat stand right at the bar line, where neither digit nor bracket touches them.
    return re.compile(
        r"(?=[^-\s])(?:(?P<bar>:?\|+:?(?:[*o](?=[-|\s]|$)|o(?=\d))?|(?<![\d>\])~])[*o]\|+(?![*o]?\d))"
        rf"{dip}|(?P<fret>\d+)|(?P<trill>tr\((?P<low>\d{{1,2}})[-/](?P<high>\d{{1,2}})\))"
        rf"|(?P<mark>(?:~+|{words}))|(?P<other>[^-\s]))"
    )
