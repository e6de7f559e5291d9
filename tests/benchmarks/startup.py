"""How long until the first finding, against `import click`: `python -m tests.benchmarks.startup`.

Whole processes with cached byte code, run in turn (A B A B …), so that a machine that drifts drifts for both;
the ratio of every pair, then the median. What counts is the time to the first character of output, or to the
end where there is none. A lesson is checked without remembering it, as the first one of all, and as one that
is unchanged since its last check.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

ROUNDS = 21
BASE = [sys.executable, "-c", "import click"]
TABTOOLS = [sys.executable, "-m", "tabtools"]
CHECK = [*TABTOOLS, "check", "samples/01-broken-chords-e-form.txt"]


def seconds(command: list[str]) -> float:
    """The wall time of one run up to its first output."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    start = time.perf_counter()
    with subprocess.Popen(command, env=environment, stdout=subprocess.PIPE) as process:
        assert process.stdout is not None
        process.stdout.read(1)
        taken = time.perf_counter() - start
        process.stdout.read()
    assert process.returncode == 0, command
    return taken


def commands(directory: Path) -> dict[str, tuple[Callable[[int], list[str]], float]]:
    """The command of each round, and the most that it may take in times of an `import click`."""
    return {
        "--version": (lambda number: [*TABTOOLS, "--version"], 1.7),
        "check --forget": (lambda number: [*CHECK, "--forget"], 3.0),
        "check, first of all": (lambda number: [*CHECK, "--memory-dir", str(directory / str(number))], 3.0),
        "check, unchanged": (lambda _: [*CHECK, "--memory-dir", str(directory / "unchanged")], 3.0),
    }


def main() -> None:
    print(f"{'command':24}{'ms':>7}{'import click':>14}{'ratio':>8}{'target':>8}")
    with tempfile.TemporaryDirectory() as directory:
        for name, (command, target) in commands(Path(directory)).items():
            seconds(command(-1))
            pairs = [(seconds(command(number)), seconds(BASE)) for number in range(ROUNDS)]
            own, base = (statistics.median(column) * 1000 for column in zip(*pairs, strict=True))
            ratio = statistics.median(a / b for a, b in pairs)
            print(f"{name:24}{own:7.1f}{base:14.1f}{ratio:8.2f}{target:8.1f}")


if __name__ == "__main__":
    main()
