"""How many slips of the keyboard a repair undoes: `python -m tests.benchmarks.repairs`.

On a sample of places in the rows of all sample lessons, one character is lost, one is put in, or another
takes its place; then the first repair that the layout rules offer is applied, and the page compared with the
one before the slip.
"""

from __future__ import annotations

import random
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from tabtools.lint.engine import check
from tabtools.lint.rules import load_all
from tabtools.source import Source, UnreadableError
from tabtools.text.reader import read_text
from tests.lint.test_repairs import applied

SAMPLES = sorted((Path(__file__).parents[2] / "samples").glob("*.txt"))
PLACES = 60
OUTCOMES = ("page back", "other repair", "reported", "unnoticed")
RULES = [rule for rule in load_all() if rule.group == "layout"]


def slips(text: str, place: int) -> Iterator[tuple[str, str]]:
    """The name of every slip at a place, and the text with it."""
    sign = text[place]
    kind = "filler" if sign == "-" else "bar line" if sign == "|" else "other sign"
    yield f"{kind} lost", text[:place] + text[place + 1 :]
    yield "filler put in", text[:place] + "-" + text[place:]
    yield "bar line put in", text[:place] + "|" + text[place:]
    if sign != "|":
        yield f"bar line for {kind}", text[:place] + "|" + text[place + 1 :]
    if sign != "-":
        yield f"filler for {kind}", text[:place] + "-" + text[place + 1 :]


def outcome(page: str, damaged: str) -> str:
    try:
        found = check(read_text(Source("page", damaged)), RULES)
    except UnreadableError:
        return "reported"
    fixes = [fix for finding in found for fix in finding.fixes]
    if not fixes:
        return "reported" if found else "unnoticed"
    return "page back" if applied(damaged, fixes[0]) == page else "other repair"


def main() -> None:
    generator = random.Random(1)
    counts: dict[str, Counter[str]] = {}
    for path in SAMPLES:
        text = path.read_text("utf-8")
        page = read_text(Source("page", text)).page
        assert page is not None
        rows = [row for system in page.systems for row in system.rows]
        places = [row.line.offset + column for row in rows for column in range(row.end)]
        for place in generator.sample(places, PLACES):
            for name, damaged in slips(text, place):
                counts.setdefault(name, Counter())[outcome(text, damaged)] += 1
    print(f"{'':24}{'slips':>8}" + "".join(f"{outcome:>14}" for outcome in OUTCOMES))
    for name, found in sorted(counts.items()):
        total = found.total()
        shares = "".join(f"{found[outcome] / total:14.1%}" for outcome in OUTCOMES)
        print(f"{name:24}{total:8}{shares}")


if __name__ == "__main__":
    main()
