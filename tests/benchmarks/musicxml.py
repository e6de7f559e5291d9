"""MusicXML against other readers and writers, on the files inside the installed music21 package.

`python -m tests.benchmarks.musicxml` times reading and writing, all tools in turns in one process, and
then measures memory, each tool in a process of its own. The bare parse of lxml is the floor. The fast tools
run five times on each file and the median counts, the slow ones once; CPU seconds. Takes some five minutes.

`python -m tests.benchmarks.musicxml --corpus` compares what we read with what music21 reads, in all files
of the corpus, and prints every difference with its reason. Takes some three minutes.
"""

from __future__ import annotations

import argparse
import statistics
import subprocess
import sys
import tempfile
import time
import warnings
from collections import Counter, defaultdict
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from lxml import etree

from tabtools.musicxml.reader import read_musicxml
from tabtools.musicxml.writer import write_musicxml
from tests.benchmarks.agreement import Difference, compare
from tests.benchmarks.corpus import corpus_files, package, spread

ROUNDS = 5


def _lxml(path: str) -> Any:
    parser = etree.XMLParser(resolve_entities=False, no_network=True, load_dtd=False, huge_tree=True)
    return etree.parse(path, parser)


def _tabtools(path: str) -> Any:
    return read_musicxml(path, Path(path).read_bytes()).score


def _partitura(path: str) -> Any:
    import partitura

    return partitura.load_musicxml(path)


def _music21(path: str) -> Any:
    import music21

    return music21.converter.parse(path, forceSource=True, storePickle=False)


# How often each tool reads a file.
READERS: dict[str, tuple[Callable[[str], Any], int]] = {
    "lxml": (_lxml, ROUNDS),
    "tabtools": (_tabtools, ROUNDS),
    "partitura": (_partitura, 1),
    "music21": (_music21, 1),
}


def _write(score: Any, path: str) -> None:
    Path(path).write_bytes(write_musicxml(score))


def _music21_write(score: Any, path: str) -> None:
    score.write("musicxml", fp=path)


WRITERS: dict[str, tuple[Callable[[Any, str], None], int]] = {
    "tabtools": (_write, ROUNDS),
    "music21": (_music21_write, 1),
}


def timed(work: Callable[[], Any], rounds: int) -> tuple[float, Any]:
    """The median CPU seconds of some runs, and the last result."""
    times, result = [], None
    for _ in range(rounds):
        start = time.process_time()
        result = work()
        times.append(time.process_time() - start)
    return statistics.median(times), result


def measure(path: Path, failures: list[str]) -> dict[str, float]:
    """Seconds by tool and way for one file; empty when a tool fails on it."""
    found: dict[str, float] = {}
    for name, (read, rounds) in READERS.items():
        try:
            found[f"{name} reads"], result = timed(partial(read, str(path)), rounds)
            if name in WRITERS:
                write, rounds = WRITERS[name]
                work = partial(write, result, str(path.with_suffix(".out.musicxml")))
                found[f"{name} writes"], _ = timed(work, rounds)
        except Exception as error:
            failures.append(f"{name}: {path.name}: {type(error).__name__}: {error}"[:150])
            return {}
    return found


def speed(count: int) -> None:
    """Print the times of all tools on ``count`` files, and the ratios."""
    files = spread(count)
    failures: list[str] = []
    totals: defaultdict[str, float] = defaultdict(float)
    done, size, largest = 0, 0, max(files, key=lambda item: len(item[1]))
    with tempfile.TemporaryDirectory() as folder:
        for number, (path, xml) in enumerate(files):
            copy = Path(folder, f"{number}-{path.stem}.musicxml")
            copy.write_bytes(xml)
            times = measure(copy, failures)
            for name, seconds in times.items():
                totals[name] += seconds
            done, size = done + bool(times), size + len(xml) * bool(times)
            if sys.stderr.isatty():
                print(f"\r{number + 1}/{len(files)}", end="", file=sys.stderr, flush=True)
        print(f"{len(files)} files, {done} done by every tool: {size / 1e6:.1f} MB")
        floor = totals["lxml reads"]
        for name, seconds in totals.items():
            print(f"{name:18}{seconds:8.2f} s{size / 1e6 / seconds:8.2f} MB/s{seconds / floor:8.1f} x lxml")
        for name in ("partitura reads", "music21 reads", "music21 writes"):
            own = totals[f"tabtools {name.split()[1]}"]
            print(f"tabtools is {totals[name] / own:.1f} times as fast as {name.replace(' ', ', when it ')}")
        print("\n".join(failures))
        copy = Path(folder, "largest.musicxml")
        copy.write_bytes(largest[1])
        for name in READERS:
            print(f"peak memory, {len(largest[1]) / 1e3:.0f} kB: {name:12}{_memory(name, copy):6.0f} MB")


def _memory(name: str, path: Path) -> float:
    """The peak memory in MB of a fresh process that reads one file, the interpreter and imports included."""
    code = f"from tests.benchmarks.musicxml import peak; peak({name!r}, {str(path)!r})"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return float(done.stdout.split()[-1])


def peak(name: str, path: str) -> None:
    """Read a file and print this process's peak memory in MB (Linux)."""
    read, _ = READERS[name]
    kept = read(path)
    status = Path("/proc/self/status").read_text()
    print(int(status.partition("VmHWM:")[2].split()[0]) / 1024 if kept is not None else 0)


def corpus() -> None:
    """Print how many notes of the corpus we read as music21 does, and every difference."""
    root, notes, failures = package(), 0, []
    differences: list[Difference] = []
    files = corpus_files()
    for path in files:
        name = path.relative_to(root).as_posix()
        try:
            count, found = compare(path, name)
        except Exception as error:
            failures.append(f"{name}: {type(error).__name__}: {error}"[:200])
            continue
        notes += count
        differences += found
    wrong = max(sum(d.reader == reader for d in differences) for reader in ("music21", "tabtools"))
    print(
        f"{len(files)} files, {len(failures)} not compared; {notes} notes, {1 - wrong / notes:.4%} the same"
    )
    for difference in differences:
        print(
            f"{difference.file} part {difference.part}: only {difference.reader} has {difference.sound}"
            f" ({difference.reason})"
        )
    for reason, count in Counter(d.reason for d in differences).items():
        print(f"{count:6} {reason}")
    print("\n".join(failures))


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--corpus", action="store_true", help="compare notes instead of times")
    parser.add_argument("--files", type=int, default=200, help="about how many files to time")
    asked = parser.parse_args()
    warnings.simplefilter("ignore")
    if asked.corpus:
        corpus()
    else:
        speed(asked.files)


if __name__ == "__main__":
    main()
