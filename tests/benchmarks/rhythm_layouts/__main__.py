"""How well rhythm is read from people's layouts: `python -m tests.benchmarks.rhythm_layouts [LAYOUT …]`.

Each layout (``dNN_*.py``) is a small program by which one person lays a tune out; each tune of
``tunes.json`` is laid out by everybody who would have typed it so. Both are invented, by other hands than
the reader's, which was developed on them: they judge changes to it, not how good it is.

Of each bar the layout tells whether the page says its rhythm, or leaves it open. Exact: every onset is right,
and every length where the layout fixes lengths. Silent: wrong without a doubt. Needless: right, with one.
"""

from __future__ import annotations

import argparse
import importlib
import json
import time
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import Any, NamedTuple

from tabtools.score import Bar
from tabtools.source import Source
from tabtools.text.reader import read_text
from tabtools.text.rhythm import UNCLEAR
from tests.benchmarks.rhythm_layouts import paper

HERE = Path(__file__).parent


class Result(NamedTuple):
    """Bars that say their rhythm, those of them read right, silently wrong and needlessly doubted; bars that
    leave it open, those doubted, and silently wrong; seconds of reading."""

    bars: int = 0
    exact: int = 0
    silent: int = 0
    needless: int = 0
    open: int = 0
    doubted: int = 0
    wrong: int = 0
    seconds: float = 0.0


def measure(layout: ModuleType, tunes: list[Any]) -> Result:
    """One layout over all tunes that it suits."""
    total = Result()
    for tune in tunes:
        try:
            text = layout.lay(tune)
        except paper.Unfit:
            continue
        start = time.process_time()
        score = read_text(Source("page.txt", text)).score
        spent = time.process_time() - start
        bars = [bar for part in score.parts for bar in part.bars]
        found = _judged(layout, tune, bars)
        total = Result._make(map(sum, zip(total, *found, Result(seconds=spent), strict=True)))
    return total


def _judged(layout: ModuleType, tune: Any, bars: list[Bar]) -> Iterator[Result]:
    opened = layout.open_bars(tune) if hasattr(layout, "open_bars") else set()
    for number, truth in enumerate(tune.bars):
        if not truth.events or (layout.RHYTHM == "undecidable" and number not in opened):
            continue
        matched = len(bars) == len(tune.bars)
        right = matched and _same(bars[number], truth, lengths=layout.DURATIONS)
        doubted = min(map(_sure, bars[number : number + 1] if matched else bars), default=1.0) < UNCLEAR
        if number in opened:
            yield Result(open=1, doubted=doubted, wrong=not right and not doubted)
        else:
            yield Result(1, right, not right and not doubted, right and doubted)


def _same(bar: Bar, truth: Any, *, lengths: bool) -> bool:
    struck = [event for event in bar.events if event.notes and not event.grace]
    struck = [event for event in struck if not all(note.tied for note in event.notes)]
    onsets = [event.onset for event in struck] == [event.onset for event in truth.struck]
    return onsets and (not lengths or [e.duration for e in struck] == [e.dur for e in truth.struck])


def _sure(bar: Bar) -> float:
    return min((fact.confidence for event in bar.events for fact in event.inferred), default=1.0)


def _show(name: str, found: Result) -> None:
    bars, opened = max(found.bars, 1), max(found.open, 1)
    print(
        f"{name:30}{found.bars:6}{100 * found.exact / bars:8.1f}{100 * found.silent / bars:8.2f}"
        f"{100 * found.needless / bars:10.1f}{found.open:7}{100 * found.doubted / opened:10.1f}"
        f"{found.wrong:7}{(found.bars + found.open) / max(found.seconds, 1e-9):9.0f}",
        flush=True,
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("layouts", nargs="*", help="the beginnings of layouts' names")
    chosen = parser.parse_args().layouts
    tunes = [paper.Tune(tune) for tune in json.loads((HERE / "tunes.json").read_text("utf-8"))]
    print(
        f"{'layout':30}{'bars':>6}{'exact %':>8}{'silent %':>9}{'needless %':>9}{'open':>7}{'doubted %':>10}"
        f"{'wrong':>7}{'bars/s':>9}"
    )
    every = []
    for path in sorted(HERE.glob("d[0-9]*.py")):
        if not chosen or path.stem.startswith(tuple(chosen)):
            layout = importlib.import_module(f"tests.benchmarks.rhythm_layouts.{path.stem}")
            every.append(measure(layout, tunes))
            _show(path.stem, every[-1])
    if len(every) > 1:
        _show("-- all", Result._make(map(sum, zip(*every, strict=True))))


if __name__ == "__main__":
    main()
