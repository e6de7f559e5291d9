"""How fast pages go through: `python -m tests.benchmarks.throughput`.

One long page is made of the sample lessons' systems, repeated; each stage runs five times, the best counts,
in seconds of processor time. The memory is the most that Python objects take while the text is read.
"""

from __future__ import annotations

import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path

from tabtools.lint.engine import check
from tabtools.lint.rules import load_all
from tabtools.musicxml.reader import read_musicxml
from tabtools.musicxml.writer import write_musicxml
from tabtools.score import Score
from tabtools.source import Source
from tabtools.text.reader import read_text
from tabtools.text.writing.format import format_text
from tabtools.text.writing.writer import write_text

LESSON = Path(__file__).parents[2] / "samples" / "03-major-pentatonic-two-positions.txt"
REPEATS = 200
ROUNDS = 5


def best(work: Callable[[], object]) -> float:
    """Seconds of the fastest of some runs."""
    times = []
    for _ in range(ROUNDS):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    return min(times)


def memory(text: str) -> float:
    """The peak of memory while a text is read, in multiples of its size."""
    tracemalloc.start()
    read_text(Source("long.txt", text))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak / len(text)


def count(score: Score) -> int:
    return sum(len(event.notes) for part in score.parts for bar in part.bars for event in bar.events)


def main() -> None:
    head, _, body = LESSON.read_text("utf-8").partition("\n\n")
    text = head + "\n\n" + "\n\n".join([body] * REPEATS)
    source = Source("long.txt", text)
    document = read_text(source)
    notes, megabytes = count(document.score), len(text) / 1e6
    xml = write_musicxml(document.score)
    stages: dict[str, Callable[[], object]] = {
        "text to score": lambda: read_text(Source("long.txt", text)),
        "format": lambda: format_text(Source("long.txt", text)),
        "score to text": lambda: write_text(document.score),
        "score to MusicXML": lambda: write_musicxml(document.score),
        "MusicXML to score": lambda: read_musicxml("long.musicxml", xml),
        "all rules": lambda: check(document, load_all()),
    }
    print(f"{megabytes:.2f} MB of text, {notes} notes, {len(xml) / 1e6:.2f} MB of MusicXML")
    print(f"text to score takes {memory(text):.1f} times the size of the text in memory")
    for name, work in stages.items():
        elapsed = best(work)
        print(
            f"{name:20}{elapsed:8.2f} s{megabytes / elapsed:8.2f} MB of text/s{notes / elapsed:10.0f} notes/s"
        )


if __name__ == "__main__":
    main()
