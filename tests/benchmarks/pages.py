"""How whole pages by other hands are read: `python -m tests.benchmarks.pages DIR…`.

Each DIR holds pairs: ``NAME.txt``, a page, and ``NAME.expect.json``, what a careful reader makes of it,
written before this program was run on it. Printed are the F1 of the notes (bar, order, string and fret),
the share of techniques that agree, and the facts that differ. A page that is misread and gets no warning or
error is ``SILENT``: the worst that can happen.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any, NamedTuple

from tabtools.document import Document
from tabtools.lint.engine import check
from tabtools.lint.finding import Severity
from tabtools.lint.rules import load_all
from tabtools.reading import read
from tabtools.score import Part
from tabtools.source import UnreadableError

FACTS = (
    "tuning",
    "capo",
    "key",
    "time",
    "tempo",
    "title",
    "bars",
    "chords",
    "sections",
    "repeats",
    "endings",
)


class Result(NamedTuple):
    """One page: notes hit, read and meant, techniques that agree, facts that differ, facts that the page has,
    and whether anything warned."""

    hits: int
    got: int
    meant: int
    agree: int
    wrong: list[str]
    facts: list[str]
    warned: bool
    refused: bool = False

    @property
    def f1(self) -> float:
        return 2 * self.hits / max(self.got + self.meant, 1)

    @property
    def exact(self) -> bool:
        return self.hits == self.got == self.meant == self.agree and not self.wrong


def notes(part: Part) -> dict[tuple[int, int, int | None, int | None], frozenset[str]]:
    """The techniques of every note by bar, order in the bar, string and fret."""
    placed = {}
    for number, bar in enumerate(part.bars, 1):
        struck = [event for event in bar.events if event.notes]
        for order, event in enumerate(struck):
            for note in event.notes:
                words = {technique.word for technique in note.techniques} | ({"tie"} if note.tied else set())
                placed[number, order, note.string, note.fret] = frozenset(words)
    return placed


def facts(document: Document, part: Part) -> dict[str, Any]:
    """What is said about a part, in the form of the expected readings."""
    bars, first = part.bars, part.bars[0]
    starts: list[int] = []
    repeats = []
    for number, bar in enumerate(bars, 1):
        if bar.repeat_start:
            starts.append(number)
        if bar.repeat_times:
            repeats.append([starts[-1] if starts else 1, number, bar.repeat_times])
    numbered = list(enumerate(bars, 1))
    return {
        "tuning": [pitch.midi for pitch in reversed(part.instrument.tuning)],
        "capo": part.instrument.capo,
        "key": first.key.name if first.key else None,
        "time": first.time.name,
        "tempo": float(first.tempo.per_minute) if first.tempo else None,
        "title": document.score.title,
        "bars": len(bars),
        "chords": [[number, _plain(harmony.symbol)] for number, bar in numbered for harmony in bar.harmonies],
        "sections": [[number, _plain(bar.section)] for number, bar in numbered if bar.section],
        "repeats": repeats,
        "endings": [[number, ending] for number, bar in numbered for ending in bar.endings],
    }


def _plain(text: str) -> str:
    return text.casefold().replace("♭", "b").replace("♯", "#").strip("[]():* ")


def compare(document: Document, want: dict[str, Any]) -> Result:
    """A document against what was expected of it."""
    findings = check(document, load_all())
    warned = any(finding.severity >= Severity.WARNING for finding in findings)
    pages = want.get("parts") or [want]
    wrong = [] if len(pages) == len(document.score.parts) else ["parts"]
    hits = got = meant = agree = 0
    had: list[str] = []
    parts = [part for part in document.score.parts if part.bars]
    for index, page in enumerate(pages):
        good = {tuple(note[:4]): frozenset((note[4] or "").split("+")) - {""} for note in page["notes"]}
        meant += len(good)
        if index >= len(parts):
            continue
        read_notes = notes(parts[index])
        got += len(read_notes)
        both = read_notes.keys() & good.keys()
        hits += len(both)
        agree += sum(read_notes[place] == good[place] for place in both)
        said = facts(document, parts[index])
        for fact in FACTS:
            if fact in page and (page[fact] or fact in ("capo", "key")):
                had.append(fact)
                if not _agrees(fact, said[fact], page[fact]):
                    wrong.append(fact)
    got += sum(len(notes(part)) for part in parts[len(pages) :])
    return Result(hits, got, meant, agree, wrong, had, warned)


def _agrees(fact: str, said: Any, wanted: Any) -> bool:
    if fact == "title":
        return bool(said) and wanted.casefold() in said.casefold()
    if fact in ("chords", "sections"):
        return bool(said == [[number, _plain(name)] for number, name in wanted])
    return bool(said == wanted)


def pages(folders: list[str]) -> Iterator[Path]:
    for folder in folders:
        yield from sorted(
            path for path in Path(folder).glob("*.txt") if path.with_suffix(".expect.json").exists()
        )


def main() -> None:
    tally: Counter[str] = Counter()
    right: Counter[str] = Counter()
    results: list[Result] = []
    for path in pages([name for name in sys.argv[1:] if not name.startswith("-")]):
        want = json.loads(path.with_suffix(".expect.json").read_text("utf-8"))
        try:
            result = compare(read(path.name, path.read_bytes()), want)
        except UnreadableError as error:
            meant = sum(len(page["notes"]) for page in want.get("parts") or [want])
            result = Result(0, 0, meant, 0, [f"refused: {error.reason[:60]}"], [], warned=True, refused=True)
        results.append(result)
        tally.update(result.facts)
        right.update(Counter(result.facts) - Counter(result.wrong))
        silent = "" if result.exact or result.warned else "  SILENT"
        share = result.agree / max(result.hits, 1)
        if "-q" not in sys.argv and (not result.exact or "-v" in sys.argv):
            print(
                f"{path.stem:44}{100 * result.f1:7.1f}{100 * share:7.1f}  {', '.join(result.wrong)}{silent}"
            )
    count = max(len(results), 1)
    print(
        f"{len(results)} pages, mean note F1 {100 * sum(r.f1 for r in results) / count:.1f}, "
        f"{sum(r.exact for r in results)} exact in all, "
        f"{sum(r.f1 == 1 for r in results)} exact in their notes, "
        f"{sum(r.refused for r in results)} refused, "
        f"{sum(not r.exact and not r.warned for r in results)} misread without a warning "
        f"({sum(r.f1 < 1 and not r.warned for r in results)} in their notes)"
    )
    print("  ".join(f"{fact} {right[fact]}/{tally[fact]}" for fact in FACTS if tally[fact]))


if __name__ == "__main__":
    main()
