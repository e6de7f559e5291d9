"""How many slips of one character a reader notices: `python -m tests.benchmarks.damage [every]`.

From every clean page, each position of every string row (or each ``every``-th) loses its character, gets
another one, and gets one more before it. A slip is harmless where strings, frets, onsets and durations stay
the same, noticed where they don't and a finding that the clean page did not have stands on that system, and
missed otherwise. A note, a dead one too, for a note, or for filler, is another page that is as good as the
first: nobody can tell; such slips are counted apart, as ``rewritten``.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from tabtools.document import Document
from tabtools.lint.engine import check
from tabtools.lint.rules import load_all
from tabtools.score import Score
from tabtools.source import Source, UnreadableError
from tabtools.text.reader import read_text

ROOT = Path(__file__).parents[2]
WILD = ROOT / "tests" / "cases" / "wild"
SIGNS = "-|5 xQ"


def pages() -> Iterator[Source]:
    """The clean pages of the development set and the finished sample lessons."""
    for path in sorted(WILD.glob("*.txt")):
        if not json.loads(path.with_suffix(".expect.json").read_text("utf-8"))["problems"]:
            yield Source(path.name, path.read_bytes().decode("utf-8-sig"))
    for path in sorted((ROOT / "samples").glob("*.txt")):
        yield Source(path.name, path.read_text("utf-8"))


def heard(score: Score) -> list[object]:
    """What a listener gets: for every part and bar the onsets, durations, strings, frets and techniques."""
    return [
        (event.onset, event.duration, [(n.string, n.fret, n.pitch, n.techniques) for n in event.notes])
        for part in score.parts
        for bar in part.bars
        for event in bar.events
    ]


def slips(text: str, at: int) -> Iterator[tuple[str, str]]:
    """The kind of each slip at an offset, and the text with it."""
    here = text[at]
    yield "deletion", text[:at] + text[at + 1 :]
    for sign in SIGNS:
        if sign != here:
            music = here.isdigit() or here in "xX" or sign in "5x"
            kind = (
                "rewritten" if music and not (here == "|" or sign == "|" or sign in "Q ") else "substitution"
            )
            name = "rewritten digit for digit" if here.isdigit() and sign.isdigit() else f"{kind} {sign!r}"
            yield name, text[:at] + sign + text[at + 1 :]
        yield f"insertion {sign!r}", text[:at] + sign + text[at:]


def places(document: Document, every: int) -> Iterator[tuple[int, int, int]]:
    """Offsets in string rows, with the first and last line of their system."""
    assert document.page is not None
    count = 0
    for system in document.page.systems:
        first, last = system.rows[0].line.number, system.rows[-1].line.number
        for row in system.rows:
            left = len(row.line.text) - len(row.line.text.lstrip())
            for column in range(left, row.end):
                count += 1
                if count % every == 0:
                    yield row.line.at(column), first, last


def verdict(clean: Document, known: Counter[tuple[str, str]], text: str, first: int, last: int) -> str:
    """``harmless``, ``noticed`` or ``missed``."""
    try:
        document = read_text(Source(clean.source.name, text))
    except UnreadableError:
        return "noticed"
    if heard(document.score) == heard(clean.score):
        return "harmless"
    found = [
        finding
        for finding in check(document, RULES)
        if first - 2 <= document.source.position(finding.span.start)[0] <= last + 2
    ]
    fresh = Counter((finding.rule, finding.message) for finding in found) - known
    return "noticed" if fresh else "missed"


RULES = load_all()


def main() -> None:
    every = int(sys.argv[1]) if len(sys.argv) > 1 else 37
    totals: dict[str, Counter[str]] = {}
    for source in pages():
        clean = read_text(source)
        known = Counter((finding.rule, finding.message) for finding in check(clean, RULES))
        for at, first, last in places(clean, every):
            for kind, text in slips(source.text, at):
                result = verdict(clean, known, text, first, last)
                totals.setdefault(kind, Counter())[result] += 1
                if result == "missed" and "-v" in sys.argv:
                    print(source.name, source.position(at), kind, source.line(source.position(at)[0]))
    print(f"{'slip':26}{'harmless':>10}{'noticed':>10}{'missed':>10}{'caught':>10}")
    slipped = [seen for kind, seen in totals.items() if not kind.startswith("rewritten")]
    for kind, seen in [*totals.items(), ("all but rewritten", sum(slipped, Counter()))]:
        caught = 1 - seen["missed"] / max(seen.total(), 1)
        print(f"{kind:26}{seen['harmless']:10}{seen['noticed']:10}{seen['missed']:10}{caught:10.1%}")


if __name__ == "__main__":
    main()
