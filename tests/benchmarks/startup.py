"""How long the command line takes to start, against `import click`: `python -m tests.benchmarks.startup`.

Whole processes with cached byte code, run in turn (A B A B …), so that a machine that drifts drifts for both;
the ratio of every pair, then the median. A lesson is checked as one never seen, and as one that is unchanged
since its last check.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import time

ROUNDS = 21
BASE = [sys.executable, "-c", "import click"]
TABTOOLS = [sys.executable, "-m", "tabtools"]
LESSON = "samples/01-broken-chords-e-form.txt"
COMMANDS = {
    "--version": ([*TABTOOLS, "--version"], 1.7),
    "check --no-cache": ([*TABTOOLS, "check", "--no-cache", LESSON], 3.0),
    "check": ([*TABTOOLS, "check", LESSON], 3.0),
}


def seconds(command: list[str]) -> float:
    """The wall time of one run."""
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONDONTWRITEBYTECODE"}
    start = time.perf_counter()
    subprocess.run(command, env=environment, stdout=subprocess.DEVNULL, check=True)
    return time.perf_counter() - start


def main() -> None:
    print(f"{'command':24}{'ms':>7}{'import click':>14}{'ratio':>8}{'target':>8}")
    for name, (command, target) in COMMANDS.items():
        seconds(command)
        pairs = [(seconds(command), seconds(BASE)) for _ in range(ROUNDS)]
        own, base = (statistics.median(column) * 1000 for column in zip(*pairs, strict=True))
        ratio = statistics.median(a / b for a, b in pairs)
        print(f"{name:24}{own:7.1f}{base:14.1f}{ratio:8.2f}{target:8.1f}")


if __name__ == "__main__":
    main()
