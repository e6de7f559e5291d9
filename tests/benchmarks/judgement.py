"""Faults that need judgement: `python -m tests.benchmarks.judgement [FOLDER]`.

Good pages get one fault each; the right rule must report it at the right place, and a page without a fault
must get no warning. `judgement_faults` says what is done to the pages. The pages of `tests/cases/judgement`
are those that the rules were written by; another folder shows what they are worth on pages of others.
"""

from __future__ import annotations

import random
import sys
from collections import Counter
from pathlib import Path

from tabtools.lint.engine import check
from tabtools.lint.finding import Finding, Severity
from tabtools.lint.rule import Rule
from tabtools.lint.rules import load_all
from tabtools.reading import read
from tabtools.source import UnreadableError
from tests.benchmarks.judgement_faults import FAULTS, Fault, Page

PAGES = Path(__file__).parents[1] / "cases" / "judgement"
TRIES = 3  # of a kind on each page
SHOWN = 2  # misses of a kind that are printed
GOAL = 0.7
ALARMS = 0.05  # warnings a good page


def _found(text: str, rules: list[Rule]) -> list[tuple[Finding, int]]:
    """The findings of a text, each with its line."""
    try:
        document = read("page.txt", text.encode())
    except UnreadableError:
        return []
    return [(found, document.source.position(found.span.start)[0]) for found in check(document, rules)]


def _tried(page: Page, fault: Fault, seed: str, rules: list[Rule], usual: Counter[str]) -> str | None:
    """What a spoilt page is told instead of its fault; empty where the fault is found, None where the page
    cannot have it."""
    spoilt = fault.spoil(page, random.Random(seed))
    if spoilt is None or tuple(spoilt[0]) == page.lines:
        return None
    lines, places = spoilt
    found = _found("\n".join(lines) + "\n", rules)
    right = Counter(f.rule for f, line in found if f.rule in fault.rules and line in places)
    if any(number > usual[rule] for rule, number in right.items()):
        return ""
    said = {f"{f.rule}:{line}" for f, line in found if f.severity > Severity.INFO}
    return f"{sorted(places)[0]}-{sorted(places)[-1]}: said {', '.join(sorted(said)) or 'nothing'}"


def main() -> None:
    folder = Path(sys.argv[1]) if len(sys.argv) > 1 else PAGES
    rules = load_all()
    files = sorted(folder.glob("*.txt"))
    texts = {file.stem: file.read_text("utf-8") for file in files}
    pages = {name: Page(tuple(text.splitlines()), read(name, text.encode())) for name, text in texts.items()}
    good = {name: _found(text, rules) for name, text in texts.items()}
    usual = {name: Counter(found.rule for found, _ in findings) for name, findings in good.items()}
    hits = tries = 0
    for fault in FAULTS:
        told = [
            (name, result)
            for name, page in pages.items()
            for number in range(TRIES)
            if (result := _tried(page, fault, f"{fault.name} {name} {number}", rules, usual[name]))
            is not None
        ]
        found = sum(not result for _, result in told)
        hits, tries = hits + found, tries + len(told)
        print(f"  {fault.name:24}{found:4} of {len(told)}")
        for name, result in [(name, result) for name, result in told if result][:SHOWN]:
            print(f"      {name}: {result}")
    warnings = [
        f"{name}: {found.rule}"
        for name, findings in good.items()
        for found, _ in findings
        if found.severity > Severity.INFO
    ]
    rate = len(warnings) / max(len(pages), 1)
    print(f"found: {hits} of {tries}, {hits / max(tries, 1):.1%} (goal {GOAL:.0%})")
    print(f"warnings: {rate:.3f} a good page (goal {ALARMS}): {', '.join(warnings)}")
    sys.exit(0 if hits >= GOAL * tries and rate <= ALARMS else 1)


if __name__ == "__main__":
    main()
