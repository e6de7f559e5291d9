"""Correct pages of our own, for many instruments and techniques: nothing in them deserves a warning."""

from __future__ import annotations

from pathlib import Path

import pytest

from tabtools.lint.engine import check
from tabtools.lint.finding import Severity
from tabtools.lint.rules import load, load_all
from tabtools.reading import read

CLEAN = Path(__file__).parent.parent / "cases" / "clean"


@pytest.mark.parametrize("name", sorted(path.name for path in CLEAN.glob("*.txt")))
def test_a_correct_page_has_no_warning(name: str) -> None:
    document = read(name, (CLEAN / name).read_bytes())
    assert [f.message for f in check(document, load_all()) if f.severity >= Severity.WARNING] == []


PAGE = (
    "Tuning: standard\n\n   {}\ne|-{}--|\n" + "".join(f"{s}|-----|\n" for s in "BGD") + "A|-3---|\nE|-----|\n"
)


@pytest.mark.parametrize(
    ("above", "fret", "rules"),
    [("", "15", ["wide-stretch"]), ("A.H.", "15", []), ("", "33", ["fret-off-neck"])],
)
def test_a_far_fret_is_told_by_its_cause(above: str, fret: str, rules: list[str]) -> None:
    page = PAGE.format(above, fret)
    asked = [load(rule) for rule in ("wide-stretch", "too-many-fingers", "fret-off-neck")]
    assert [f.rule for f in check(read("page.txt", page.encode()), asked)] == rules
