"""How the time of each stage grows with its input: `python -m tests.benchmarks.complexity [SHAPE]`.

Each shape makes an input of a size and of twice and four times that size; a stage's time is the least of
three runs, in processor time. Growth is the power of the size that the last doubling shows: 1 is in
proportion, 2 is its square. Exit code 1 where one is above LIMIT and the time worth the name.
"""

from __future__ import annotations

import contextlib
import math
import sys
import time
from collections.abc import Callable

from tabtools.cli.load import check_data
from tabtools.config import Config, resolve
from tabtools.lint.rules import Rules
from tabtools.reading import read
from tabtools.source import MAX_BYTES, UnreadableError, decode

LIMIT = 1.35  # n log n, and what a machine adds to it
WORTH = 0.2  # seconds
SYSTEM = "e|-{0}-|\nB|-{1}-|\nG|-{1}-|\nD|-{1}-|\nA|-{1}-|\nE|-{1}-|\n"
RESOLVED = resolve(Config("").general, Rules([]))


def _tab(cells: str, blank: str) -> str:
    return SYSTEM.format(cells, blank)


def _score(measures: str) -> str:
    part = '<score-part id="P1"><part-name>G</part-name></score-part>'
    parts = f'<part-list>{part}</part-list><part id="P1">{measures}</part>'
    return f'<score-partwise version="4.0">{parts}</score-partwise>'


def _note(voice: int, duration: int = 1) -> str:
    pitch = "<pitch><step>E</step><octave>4</octave></pitch>"
    return f"<note>{pitch}<duration>{duration}</duration><voice>{voice}</voice></note>"


def _voices(size: int) -> str:
    notes = "".join(_note(voice) + "<backup><duration>1</duration></backup>" for voice in range(1, size))
    return _score(f'<measure number="1"><attributes><divisions>1</divisions></attributes>{notes}</measure>')


def _divisions(size: int) -> str:
    attributes = "<attributes><divisions>{}</divisions></attributes>"
    bars = (f'<measure number="{n}">{attributes.format(n)}{_note(1, n)}</measure>' for n in range(1, size))
    return _score("".join(bars))


SHAPES: dict[str, tuple[int, Callable[[int], str]]] = {
    "systems": (40, lambda size: "\n".join([_tab("5---7---5---7---", "-" * 16)] * size)),
    "bars in a row": (40, lambda size: _tab("|".join(["5-7-5-7-"] * size), "|".join(["-" * 8] * size))),
    "notes in a bar": (60, lambda size: _tab("5-7-" * size, "----" * size)),
    "chords in a bar": (
        60,
        lambda size: "  " + "Am  C   " * size + "\n" + _tab("5-------" * size, "--------" * size),
    ),
    "blanks in a line": (4000, lambda size: f"Solo{' ' * size}x\n" + _tab("5---7---", "--------")),
    "tab characters": (2000, lambda size: "Solo" + "\t" * size + "x\n" + _tab("5---7---", "--------")),
    "words in a line": (1000, lambda size: "play it " * size + "\n" + _tab("5---7---", "--------")),
    "lines of words": (
        1000,
        lambda size: "play it slowly, in C\n" * size + "\n" + _tab("5---7---", "--------"),
    ),
    "remarks": (
        300,
        lambda size: _tab("5---7---", "--------") + "\ntabtools: ignore wide-stretch because x\n" * size,
    ),
    "bare bars": (100, lambda size: _tab("|" * size, "|" * size)),
    "voices": (100, _voices),
    "divisions": (100, _divisions),
    "measures": (
        200,
        lambda size: _score("".join(f'<measure number="{n}">{_note(1)}</measure>' for n in range(size))),
    ),
    "empty elements": (4000, lambda size: _score('<measure number="1">' + "<junk/>" * size + "</measure>")),
}


def _checked(data: bytes) -> object:
    return check_data("x", data, RESOLVED)


def _laid_out(data: bytes) -> object:
    from tabtools.text.writing.format import format_text

    return None if data.startswith(b"<") else format_text(decode("x", data, MAX_BYTES))


def _to_text(data: bytes) -> object:
    from tabtools.text.writing.writer import write_text

    return write_text(read("x", data).score)


def _to_musicxml(data: bytes) -> object:
    from tabtools.musicxml.writer import write_musicxml

    return write_musicxml(read("x", data).score)


STAGES = {"check": _checked, "format": _laid_out, "to text": _to_text, "to MusicXML": _to_musicxml}


def seconds(stage: Callable[[bytes], object], data: bytes) -> float:
    """The least processor time of three runs; of one where that is long."""
    times = []
    for _ in range(3):
        start = time.process_time()
        with contextlib.suppress(UnreadableError):
            stage(data)
        times.append(time.process_time() - start)
        if times[-1] > 2:
            break
    return min(times)


def main(only: str = "") -> int:
    """Print the table; the exit code."""
    bad = 0
    print(f"{'shape':20} {'stage':12} {'n':>6} {'time':>8} {'2n':>8} {'4n':>8}  growth")
    for shape, (size, make) in SHAPES.items():
        if only not in shape:
            continue
        for name, stage in STAGES.items():
            times = [seconds(stage, make(size * factor).encode()) for factor in (1, 2, 4)]
            growth = math.log2(max(times[2], 1e-6) / max(times[1], 1e-6))
            slow = growth > LIMIT and times[2] > WORTH
            bad += slow
            figures = " ".join(f"{taken:8.3f}" for taken in times)
            print(f"{shape:20} {name:12} {size:6} {figures}  {growth:5.2f}{' !' * slow}", flush=True)
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:2]))
