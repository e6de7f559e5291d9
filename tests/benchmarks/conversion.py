"""What becomes of the MusicXML files that music21 ships: read and written, cleaned, and turned into tab.

``python -m tests.benchmarks.conversion [EVERY [MOST_NOTES [FROM]]]`` takes every EVERY-th file (1: all) from
number FROM on (0) for the first rows, and converts those with at most MOST_NOTES notes (0: all of them) to
guitar, octaves fitted: tab for every part, and the file must be valid against the MusicXML 4.0 schema where
the file was before. Where it stands goes to standard error. All of it takes some ten minutes on one core.

The files are read from the installed package; they are not part of this one.
"""

from __future__ import annotations

import resource
import sys
import time
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

import music21
from lxml import etree

from tabtools.document import Document
from tabtools.musicxml.package import is_package, unpack
from tabtools.musicxml.reader import read_musicxml
from tabtools.preparing import Wishes, prepared
from tabtools.score import Score
from tests.musicxml.mending import mended
from tests.xsd import problems

MOST_NOTES = 0


def corpus() -> list[Path]:
    """All MusicXML files of the corpus, sorted."""
    root = Path(music21.__file__).parent / "corpus"
    suffixes = {".mxl", ".xml", ".musicxml"}
    return sorted(path for path in root.rglob("*") if path.suffix in suffixes and _is_score(path))


def _is_score(path: Path) -> bool:
    data = path.read_bytes()[:4000].replace(b"\0", b"")
    return data.startswith(b"PK") or b"<score-" in data


def canonical(data: bytes) -> bytes:
    """Canonical XML, comments and processing instructions included."""
    return etree.tostring(etree.fromstring(data), method="c14n")


def main(every: int, most_notes: int, start: int) -> None:
    """Print the table."""
    counts: Counter[str] = Counter()
    rules: Counter[str] = Counter()
    broken: list[str] = []
    started = time.perf_counter()
    slowest = (0.0, "")
    for path in corpus()[start::every]:
        began = time.perf_counter()
        data = path.read_bytes()
        xml = unpack(data) if is_package(data) else data
        document = read_musicxml(path.name, data)
        counts["read"] += 1
        same = document.source.encode(document.source.text)
        counts["written without a change: the same bytes"] += same == xml
        counts["written without a change: equal canonical XML"] += canonical(same) == canonical(xml)
        counts["valid against the schema as shipped"] += (valid := not problems(xml))
        done = mended(document)
        rules.update(done.rules)
        counts["valid when cleaned"] += (still := not problems(document.source.encode(done.text)))
        if valid and not still:
            broken.append(f"{path.name}: cleaned")
        if not most_notes or sum(1 for _ in _notes(document.score)) <= most_notes:
            _convert(path.name, document, still, counts, broken)
        slowest = max(slowest, (time.perf_counter() - began, path.name))
        if counts["read"] % 50 == 0:
            print(f"{time.perf_counter() - started:.0f} s: {dict(counts)}", file=sys.stderr, flush=True)
    for name, count in counts.items():
        print(f"{count:7}  {name}")
    print(f"mended: {dict(sorted(rules.items()))}")
    print(f"broken by us: {broken or 'none'}; {time.perf_counter() - started:.0f} s")
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024
    print(f"slowest: {slowest[1]}, {slowest[0]:.0f} s; peak memory {peak} MB")


def _convert(name: str, document: Document, valid: bool, counts: Counter[str], broken: list[str]) -> None:
    """Count one conversion to guitar: the notes on tab, validity, and that the file's own notes are kept."""
    made, _ = prepared(document, Wishes(both_staves=True, fit_octave=True))
    notes = list(_notes(made.score))
    counts["converted to guitar"] += 1
    counts["converted: notes with a pitch"] += len(notes)
    counts["converted: notes on tab"] += sum(notes)
    counts["converted: files with every note on tab"] += all(notes)
    ok = not problems(made.source.encode(made.source.text))
    counts["converted: valid against the schema"] += ok
    if valid and not ok:
        broken.append(f"{name}: {problems(made.source.encode(made.source.text))[0]}")


def _notes(score: Score) -> Iterator[bool]:
    """For every note with a pitch, whether it has a string."""
    for part in score.parts:
        for bar in part.bars:
            for event in bar.events:
                yield from (note.string is not None for note in event.notes if note.pitch is not None)


if __name__ == "__main__":
    numbers = [int(argument) for argument in sys.argv[1:]]
    main(*numbers, *(1, MOST_NOTES, 0)[len(numbers) :])
