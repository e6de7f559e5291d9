"""Rules that compare files."""

from __future__ import annotations

import re

from tabtools.lint.engine import compare, examine
from tabtools.lint.finding import FileFindings, Severity
from tabtools.lint.plan import plain
from tabtools.lint.rule import NEXT_FILE
from tabtools.lint.rules import load
from tabtools.reading import read

LICK, OTHER = load("same-lick-differs").bad.split(NEXT_FILE)
TITLED, _ = load("duplicate-title").bad.split(NEXT_FILE)


def _found(rule: str, **pages: str) -> dict[str, list[str]]:
    plan = plain([load(rule)])
    files = [examine(read(name, page.encode()), plan) for name, page in pages.items()]
    return {
        f.source.name: [finding.message for finding in f.findings]
        for f in compare(files, [plan])
        if f.findings
    }


def _shifted(page: str, by: int) -> str:
    """Every fret higher by ``by``, rows kept equally long."""
    rows = []
    for line in page.split("\n"):
        if "|" in line:
            line = re.sub(
                r"\d+(-*)", lambda m: f"{int(m[0].rstrip('-')) + by}"[:2].ljust(len(m[0]), "-"), line
            )
        rows.append(line)
    return "\n".join(rows)


def test_titles() -> None:
    found = _found("duplicate-title", a=TITLED, b=TITLED.replace("Slow bends", "slow Bends!"), c=TITLED[18:])
    assert list(found) == ["b"]
    assert 'the title "slow Bends!" is also that of a:1' in found["b"][0]
    assert _found("duplicate-title", a=TITLED, b=TITLED.replace("Slow", "Fast")) == {}


def test_the_same_lick_in_another_place() -> None:
    found = _found("same-lick-differs", a=LICK, b=OTHER)
    assert list(found) == ["b"]
    assert "begins on string 4, fret 7" in found["b"][0]
    assert "a:8" in found["b"][0]


def test_transposed_licks_are_the_same() -> None:
    up = _shifted(LICK, 1)
    assert "8" in up
    assert _found("same-lick-differs", a=LICK, b=up) == {}
    assert list(_found("same-lick-differs", a=up, b=OTHER)) == ["b"]


def test_other_notes_are_another_lick_and_few_are_none() -> None:
    assert _found("same-lick-differs", a=LICK, b=LICK.replace("-8-", "-6-")) == {}
    short = LICK.replace("G|---5-7", "G|-------")
    assert (
        _found(
            "same-lick-differs", a=short, b=short.replace("D|-7---", "D|-----").replace("A|----", "A|-12-")
        )
        == {}
    )


def test_a_remark_takes_a_lick_out() -> None:
    remark = "tabtools: ignore same-lick-differs in file because both ways are shown\n"
    assert _found("same-lick-differs", a=LICK, b=remark + OTHER) == {}


def test_a_crash_in_a_comparison_is_a_finding() -> None:
    def broken(facts: object) -> object:
        raise ZeroDivisionError("no")

    rule = load("duplicate-title")._replace(compare=broken)  # type: ignore[arg-type]
    plan = plain([rule])
    files = [examine(read(name, TITLED.encode()), plan) for name in "ab"]
    found: list[FileFindings] = compare(files, [plan])
    assert [(f.rule, f.severity) for f in found[0].findings] == [("internal", Severity.ERROR)]
