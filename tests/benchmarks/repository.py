"""A check of a whole repository: `python -m tests.benchmarks.repository [FILES]`.

Lessons of about 3 KB each are made from the bars of the sample lessons, shuffled and moved along the neck by
a seeded generator, and written as text tab. Measured over whole processes: cold on one core, cold with two
jobs in turn with it (A B A B), warm from the cache, and the peak of memory; in time on the clock, and in
processor time, which other work on the machine does not disturb.
"""

from __future__ import annotations

import random
import re
import resource
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from tabtools.instrument import GUITAR
from tabtools.reading import read
from tabtools.score import Bar, Note, Part, Pitch, Score
from tabtools.text.writing.writer import write_text
from tabtools.theory.spelling import spell

SAMPLES = Path(__file__).parents[2] / "samples"
FILES = 5000
PAIRS = 3  # cold runs, each on one core and with two jobs, over a part of the files
PART = 1000
PROSE = "Play it slowly first, then with a click. Keep the hand where it is until the bar is over.\n"


def sample_lessons() -> list[tuple[Bar, ...]]:
    """The bars of the sample lessons in standard tuning without capo that are in whole bars of 4/4."""
    found = []
    for path in sorted(SAMPLES.glob("*.txt")):
        (part,) = read(path.name, path.read_bytes()).score.parts
        whole = all(bar.time.name == "4/4" and bar.length == bar.time.length for bar in part.bars)
        if whole and part.instrument.tuning == GUITAR.tuning and not part.instrument.capo:
            found.append(part.bars)
    return found


def moved(bar: Bar, by: int) -> Bar:
    """A bar moved along the neck, its key and the positions named over it with it; without chords where it
    moves."""
    assert bar.key is not None
    tonic = spell(Pitch(bar.key.step, bar.key.alter, 4).midi + by, None)
    key = bar.key._replace(step=tonic.step, alter=tonic.alter)

    def note(one: Note) -> Note:
        if one.fret is None or one.pitch is None:
            return one
        return one._replace(fret=one.fret + by, pitch=spell(one.pitch.midi + by, key))

    events = tuple(event._replace(notes=tuple(map(note, event.notes))) for event in bar.events)
    words = tuple(one if not by else one._replace(text=_further(one.text, by)) for one in bar.words)
    return bar._replace(key=key, events=events, words=words, harmonies=() if by else bar.harmonies)


def _further(words: str, by: int) -> str:
    """Words over the notes with the position that they name moved along the neck."""

    def further(match: re.Match[str]) -> str:
        number = int(match[1]) + by
        ending = {1: "st", 2: "nd", 3: "rd"}.get(number % 10, "th") if number not in (11, 12, 13) else "th"
        return f"{number}{ending} {match[2]}"

    return re.sub(r"(\d+)(?:st|nd|rd|th) (pos\.|position)", further, words)


def lessons(number: int, seed: int = 1) -> Iterator[tuple[str, str]]:
    """Names and texts of lessons: the bars of one sample each, shuffled, some of them again."""
    generator = random.Random(seed)
    samples = sample_lessons()
    for index in range(number):
        sample, by = generator.choice(samples), generator.randint(0, 3)
        chosen = [moved(generator.choice(sample), by) for _ in range(generator.randint(12, 14))]
        music = tuple(
            bar._replace(number=at, section=None, repeat_start=False, repeat_times=0, endings=())
            for at, bar in enumerate(chosen, 1)
        )
        text = write_text(Score((Part("Guitar", GUITAR, music),), f"Lesson {index}", "Runa Thistlewood"))
        head, _, rest = text.partition("\n\n")
        words = PROSE * generator.randint(1, 3)
        yield f"unit{index // 100:02}/lesson{index:04}.txt", f"{head}\n\n{words}\n{rest}"


def make(directory: Path, number: int) -> int:
    """Write lessons below a directory; their size in bytes."""
    total = 0
    for name, text in lessons(number):
        path = directory / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, "utf-8")
        total += len(text.encode())
    return total


def measured(directory: Path, *options: str) -> tuple[float, float]:
    """The time of a check of a directory as a process: on the clock, and of the processor, in seconds."""
    command = [sys.executable, "-m", "tabtools", "check", *options, "."]
    environment = {"PYTHONPATH": str(Path(__file__).parents[2]), "PATH": "/usr/bin:/bin"}
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    start = time.perf_counter()
    done = subprocess.run(command, cwd=directory, env=environment, stdout=subprocess.DEVNULL, check=False)
    clock = time.perf_counter() - start
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    if done.returncode not in (0, 1):
        raise RuntimeError(f"exit code {done.returncode}")
    return clock, after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime


def main() -> None:
    number = int(sys.argv[1]) if len(sys.argv) > 1 else FILES
    files = min(PART, number)
    with tempfile.TemporaryDirectory() as name:
        part, whole, cache = Path(name, "part"), Path(name, "whole"), str(Path(name, "cache"))
        make(part, files)
        size = make(whole, number)
        print(f"{number} files of {size / number:.0f} bytes; files a second on the clock (of processor time)")
        for _ in range(PAIRS):
            (one, spent), (two, both) = (measured(part, "--forget", "--jobs", str(jobs)) for jobs in (1, 2))
            rates = f"{files / one:.1f} ({files / spent:.1f}) on one core, {files / two:.1f} with two jobs"
            print(f"cold: {rates} ({files / both:.1f}), {one / two:.2f} x")
        cold, _ = measured(whole, "--memory-dir", cache)
        memory = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024
        print(f"cold with all cores, filling the cache: {number / cold:.0f}")
        warm = [measured(whole, "--memory-dir", cache) for _ in range(3)]
        print(f"warm: {number / min(warm)[0]:.0f} ({number / min(spent for _, spent in warm):.0f})")
        print(f"largest process: {memory:.0f} MB")


if __name__ == "__main__":
    main()
