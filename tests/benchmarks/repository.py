"""A check of a whole repository: `python -m tests.benchmarks.repository [FILES]`.

Lessons of about 3 KB each are made from the bars of the sample lessons, shuffled and moved along the neck by a
seeded generator, and written as text tab. Measured over whole processes: cold on one core, cold with two jobs in
turn with it (A B A B), warm from the cache, and the peak of memory.
"""

from __future__ import annotations

import random
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

from tabtools.instrument import GUITAR
from tabtools.reading import read
from tabtools.score import Bar, Event, Note, Part, Score
from tabtools.text.writer import write_text
from tabtools.theory.spelling import spell

SAMPLES = Path(__file__).parents[2] / "samples"
FILES = 5000
BYTES = 3000
PAIRS = 3  # cold runs, each on one core and with two jobs, over a part of the files
PART = 400
PROSE = "Play it slowly first, then with a click. Keep the hand where it is until the bar is over.\n"


def lesson_bars() -> list[Bar]:
    """The bars of the sample lessons in standard tuning without capo and in whole bars of 4/4."""
    bars = []
    for path in sorted(SAMPLES.glob("*.txt")):
        for part in read(path.name, path.read_bytes()).score.parts:
            plain = part.instrument.tuning == GUITAR.tuning and not part.instrument.capo
            bars += [
                bar for bar in part.bars if plain and bar.time.name == "4/4" and bar.length == bar.time.length
            ]
    return bars


def moved(bar: Bar, by: int) -> Bar:
    """A bar moved along the neck; without chords where it moves, since they would no longer fit."""

    def note(one: Note) -> Note:
        if one.fret is None or one.pitch is None:
            return one
        return replace(one, fret=one.fret + by, pitch=spell(one.pitch.midi + by, bar.key))

    def event(one: Event) -> Event:
        return replace(one, notes=tuple(map(note, one.notes)))

    return replace(bar, events=tuple(map(event, bar.events)), harmonies=bar.harmonies if by == 0 else ())


def lessons(number: int, seed: int = 1) -> Iterator[tuple[str, str]]:
    """Names and texts of lessons."""
    generator = random.Random(seed)
    bars = lesson_bars()
    for index in range(number):
        size = generator.randint(24, 32)
        chosen = [moved(generator.choice(bars), generator.randint(0, 3)) for _ in range(size)]
        key = chosen[0].key
        music = tuple(
            replace(bar, number=at, key=key, section=None, repeat_start=False, repeat_times=0, endings=())
            for at, bar in enumerate(chosen, 1)
        )
        text = write_text(Score((Part("Guitar", GUITAR, music),), f"Lesson {index}", "Runa Thistlewood"))
        head, _, rest = text.partition("\n\n")
        yield (
            f"unit{index // 100:02}/lesson{index:04}.txt",
            f"{head}\n\n{PROSE * generator.randint(1, 3)}\n{rest}",
        )


def make(directory: Path, number: int) -> int:
    """Write lessons below a directory; their size in bytes."""
    total = 0
    for name, text in lessons(number):
        path = directory / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")
        total += len(text.encode())
    return total


def seconds(directory: Path, *options: str) -> float:
    """The time of a check of a directory as a process."""
    command = [sys.executable, "-m", "tabtools", "check", *options, "."]
    root = Path(__file__).parents[2]
    start = time.perf_counter()
    process = subprocess.run(
        command,
        cwd=directory,
        env={"PYTHONPATH": str(root), "PATH": "/usr/bin:/bin"},
        stdout=subprocess.DEVNULL,
    )
    if process.returncode not in (0, 1):
        raise RuntimeError(f"exit code {process.returncode}")
    return time.perf_counter() - start


def main() -> None:
    number = int(sys.argv[1]) if len(sys.argv) > 1 else FILES
    with tempfile.TemporaryDirectory() as name:
        part, whole, cache = Path(name, "part"), Path(name, "whole"), str(Path(name, "cache"))
        make(part, min(PART, number))
        size = make(whole, number)
        print(f"{number} files of {size / number:.0f} bytes")
        pairs = []
        for _ in range(PAIRS):
            one = seconds(part, "--no-cache", "--jobs", "1")
            pairs.append((one, seconds(part, "--no-cache", "--jobs", "2")))
        files = min(PART, number)
        for one, two in pairs:
            print(
                f"cold: {files / one:.1f} files/s on one core, {files / two:.1f} with two jobs: {one / two:.2f} x"
            )
        cold = seconds(whole, "--cache-dir", cache)
        memory = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
        warm = min(seconds(whole, "--cache-dir", cache) for _ in range(3))
        print(f"cold with all cores, filling the cache: {number / cold:.0f} files/s")
        print(f"warm: {number / warm:.0f} files/s")
        print(f"largest process: {memory:.0f} MB")


if __name__ == "__main__":
    main()
