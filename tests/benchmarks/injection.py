"""One mistake at a time: `python -m tests.benchmarks.injection [TUNES]`.

Clean tabs of traditional tunes (the corpus of music21) get one fault each, as text tab and as MusicXML. The
right rule must report it on the very line, clean files must give no error and no warning, and where the fault
has a safe repair, that must give back the clean file byte for byte.
"""

from __future__ import annotations

import random
import re
import sys
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from functools import partial

from tabtools.lint.engine import check, examine
from tabtools.lint.finding import Finding, Severity
from tabtools.lint.fixes import repair
from tabtools.lint.plan import plain
from tabtools.lint.rule import Rule
from tabtools.lint.rules import load_all
from tabtools.lint.rules.housekeeping.unreadable import unreadable
from tabtools.musicxml.writer import write_musicxml
from tabtools.reading import read
from tabtools.score import Score
from tabtools.source import Span, UnreadableError
from tabtools.text.writing.writer import write_text
from tests.benchmarks.injection_faults import MUSICXML, TEXT, Clean, Fault
from tests.benchmarks.injection_pages import drawn
from tests.benchmarks.injection_tunes import tunes

TUNES = 40
TARGET = 0.98
ALARMS = 0.05
NARROW = 48  # columns
SHOWN = 3  # misses of a kind that are printed


def _bare(score: Score) -> str:
    """A page without duration letters: spacing alone tells the rhythm."""
    return re.sub(r"^ +(?:[wqhes]\.? *)+\n", "", write_text(score), flags=re.MULTILINE)


def _narrow(score: Score) -> str:
    """A page of many short systems."""
    return write_text(score, width=NARROW)


# Our own pages, and those of others. So many kinds that each meets every one of the four instruments.
PAGES: tuple[Callable[[Score], str], ...] = (
    write_text,
    _narrow,
    _bare,
    drawn,
    partial(drawn, labels="lower", header=False, lead=0),
    partial(drawn, labels="none"),
    partial(drawn, counts=True, newline="\r\n"),
    partial(drawn, header=False, end="|"),
    partial(drawn, labels="lower", counts=True),
)


@dataclass
class Tally:
    """How one kind of fault went."""

    tried: int = 0
    found: int = 0
    safe: int = 0
    restored: int = 0
    settled: int = 0
    misses: list[str] = field(default_factory=list)


def clean_files(number: int) -> Iterator[tuple[str, Clean]]:
    """Every tune of the injection test as its pages."""
    return pages(tunes(number))


def pages(scores: Iterable[Score]) -> Iterator[tuple[str, Clean]]:
    """Scores as text tab, on pages of several kinds, and as MusicXML."""
    for index, score in enumerate(scores):
        text = PAGES[index % len(PAGES)](score)
        yield "text", Clean(text, read("tune.txt", text.encode()))
        xml = write_musicxml(score)
        document = read("tune.musicxml", xml)
        yield "musicxml", Clean(document.source.text, document)


def findings(text: str, rules: list[Rule]) -> tuple[list[Finding], list[int]]:
    """What is found in a text, and the line of each finding."""
    try:
        document = read("tune", text.encode())
    except UnreadableError as error:
        return [unreadable(error.reason, Span(0, 0))], [error.line]
    found = check(document, rules)
    return found, [document.source.position(finding.span.start)[0] for finding in found]


def attempt(clean: Clean, fault: Fault, generator: random.Random, rules: list[Rule], tally: Tally) -> None:
    """Put the fault in, and see what is said and repaired."""
    place = fault.inject(clean, generator)
    if place is None:
        return
    text, lines = place
    found, at = findings(text, rules)
    tally.tried += 1
    right = [f for f, line in zip(found, at, strict=True) if f.rule in fault.rules and line in lines]
    if right:
        tally.found += 1
    else:
        said = sorted(
            {f"{f.rule}:{line}" for f, line in zip(found, at, strict=True) if f.severity > Severity.INFO}
        )
        tally.misses.append(f"lines {min(lines)}-{max(lines)}, but said: {', '.join(said) or 'nothing'}")
    if any(fix.safe for finding in found for fix in finding.fixes):
        tally.safe += 1
        repaired = _repaired(text, rules)
        tally.restored += repaired == clean.text
        tally.settled += repaired == _repaired(repaired, rules)


def _repaired(text: str, rules: list[Rule]) -> str:
    """A text after its safe repairs."""
    return repair(read("tune", text.encode()), plain(rules), lambda new: read("tune", new.encode())).text


def alarms(cleans: Iterable[Clean], rules: list[Rule]) -> list[str]:
    """The errors and warnings of clean files, as rule names."""
    plan = plain(rules)
    return [
        finding.rule
        for clean in cleans
        for finding in examine(clean.document, plan).findings
        if finding.severity >= Severity.WARNING
    ]


def main() -> None:
    number = int(sys.argv[1]) if len(sys.argv) > 1 else TUNES
    rules = load_all()
    names = {rule.name for rule in rules}
    files = list(clean_files(number))
    false = alarms((clean for _, clean in files), rules)
    tried = found = 0
    restored = [0, 0, 0]
    for form, faults in (("text", TEXT), ("musicxml", MUSICXML)):
        print(f"{form}:")
        for fault in faults:
            missing = "" if names & set(fault.rules) else "  (no such rule yet)"
            tally = Tally()
            for index, (kind, clean) in enumerate(files):
                if kind == form:
                    attempt(clean, fault, random.Random(f"{fault.name} {index}"), rules, tally)
            tried, found = tried + tally.tried, found + tally.found
            restored = [
                n + m for n, m in zip(restored, (tally.safe, tally.restored, tally.settled), strict=True)
            ]
            safe = f", restored {tally.restored} of {tally.safe}" if tally.safe else ""
            print(f"  {fault.name:24}{tally.found:4} of {tally.tried}{safe}{missing}")
            for miss in tally.misses[:SHOWN] if not missing else ():
                print(f"      {miss}")
    print(f"found: {found} of {tried}, {found / max(tried, 1):.1%} (target {TARGET:.0%})")
    safe_ones, same, settled = restored
    print(f"restored: {same} of {safe_ones} with a safe repair; repaired twice as once: {settled}")
    rate = len(false) / len(files)
    print(f"false alarms: {rate:.3f} a clean file (target {ALARMS}): {sorted(set(false))}")
    sys.exit(0 if found >= TARGET * tried and rate <= ALARMS and same == settled == safe_ones else 1)


if __name__ == "__main__":
    main()
