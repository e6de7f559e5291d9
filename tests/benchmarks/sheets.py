"""Sheets of many lessons: how many are made, what overlaps in them, how large they are, how long they take.

python -m tests.benchmarks.sheets PATH… makes a page and a PDF of every readable lesson below the paths.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from pathlib import Path

from tabtools.cli.sheeting import PAPER, Wish, make
from tabtools.preparing import Wishes, prepared
from tabtools.reading import read
from tabtools.sheet.lesson import Lesson, lesson_of
from tabtools.sheet.pictures import NARROW, WIDE, Look, draw_passages, forms_of
from tabtools.source import MAX_BYTES, UnreadableError
from tests.drawing.overlaps import overlaps

_SUFFIXES = {".txt", ".tab", ".musicxml", ".mxl", ".xml"}


def _faults(lesson: Lesson) -> list[str]:
    """What overlaps on a sheet, whatever its width."""
    pictures = [
        picture
        for width, staves in ((WIDE, "both"), (NARROW, "both"), (WIDE, "tab"))
        for systems in draw_passages(lesson, width, Look(staves)).systems.values()
        for picture in systems
    ]
    pictures += (picture for necks in forms_of(lesson, Look()).values() for _, picture in necks)
    return [fault for picture in pictures for fault in overlaps(picture)]


def _measure(path: Path, counts: Counter[str]) -> None:
    data = path.read_bytes()
    try:
        document, _ = prepared(read(path.name, data), Wishes(tab=True))
    except UnreadableError:
        counts["unreadable"] += 1
        return
    if not any(event.notes for part in document.score.parts for bar in part.bars for event in bar.events):
        counts["without notes"] += 1
    for fault in _faults(lesson_of(document, path.stem)):
        counts["overlaps"] += 1
        print(f"{path.name}: {fault[:150]}")
    for kind in ("html", PAPER):
        begun = time.process_time()
        made = make(path.name, data, MAX_BYTES, Wish(kind), "")
        counts[f"{kind} in ms"] += round(1000 * (time.process_time() - begun))
        if made.data is None:
            counts[f"{kind} not made"] += 1
            print(f"{path.name}: {made.failed.findings[0].message if made.failed else ''}")
        else:
            counts[f"{kind} made"] += 1
            counts[f"{kind} over 400 kB"] += len(made.data) > 400_000
            counts[f"largest {kind} in kB"] = max(counts[f"largest {kind} in kB"], len(made.data) // 1000)


def main(roots: list[str]) -> None:
    """Print what overlaps, then the counts."""
    paths = [path for root in roots for path in sorted(Path(root).rglob("*")) if path.suffix in _SUFFIXES]
    counts: Counter[str] = Counter()
    for path in paths:
        _measure(path, counts)
    for name, number in sorted(counts.items()):
        print(f"{number:8} {name}")


if __name__ == "__main__":
    main(sys.argv[1:])
