"""A page with one slip, repaired, is the page before the slip."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tabtools.lint.engine import check
from tabtools.lint.finding import Finding, Fix
from tabtools.lint.rules import load_all
from tabtools.source import Source, UnreadableError, decode
from tabtools.text.reader import read_text
from tabtools.text.writing.format import music

RULES = [rule for rule in load_all() if rule.group == "layout"]
SAMPLES = sorted((Path(__file__).parents[2] / "samples").glob("*.txt"))

PAGE = """\
Key: C
Time: 4/4

e|-----------------|-----0-------0---|-0---------------:|
B|-------1---------|-1-------1-------|-1---------------:|
G|---0-------0-----|-----------------|-0---------------:|
D|-----2-------2---|-----------------|-2---------------:|
A|-3-------3-------|-----------------|-3---------------:|
E|-----------------|-3-------3-------|-----------------:|

e|-12------|
B|----13---|
G|------12-|
D|---------|
A|---------|
E|---------|
"""


def findings(text: str) -> list[Finding]:
    return check(read_text(Source("page", text)), RULES)


def applied(text: str, fix: Fix) -> str:
    for edit in sorted(fix.edits, key=lambda edit: -edit.span.start):
        text = text[: edit.span.start] + edit.text + text[edit.span.end :]
    return text


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        ("B|-------1---------|", "B|-------1--------|"),
        ("G|---0-------0-----|", "G|---0------0-----|"),
        ("G|---0-------0-----|", "G|----0-------0-----|"),
        ("A|-3-------3-------|---", "A|-3-------3-------|--"),
        ("D|-----2-------2---|---", "D|-----2-------2--|---"),
        ("E|-----------------|-3-", "E|----------------||-3-"),
        ("|-3-------3-------|---", "|-3-------3-----------"),
        ("-3-------3-------|-----------------:|", "-3-------3-------------------------:|"),
        ("|-1-------1-------|", "|-1-------1-------||"),
        ("|-1-------1-------|", "|-1-|-----1-------|"),
        ("B|----13---|", "B|----13---"),
        ("B|----13---|", "B|----13-"),
        ("-1---------------:|", "-1---------------|"),
        ("D|---------|", "|---------|"),
        ("D|---------|", "-D|---------|"),
    ],
)
def test_the_page_comes_back(right: str, wrong: str) -> None:
    damaged = PAGE.replace(right, wrong, 1)
    assert damaged != PAGE
    assert findings(PAGE) == []
    fixes = [fix for finding in findings(damaged) for fix in finding.fixes]
    assert applied(damaged, fixes[0]) == PAGE


@pytest.mark.parametrize(
    ("right", "wrong"),
    [
        # A fret may have been meant, or more than a filler was lost.
        ("B|-------1---------|", "B|-------31---------|"),
        ("G|------12-|", "G|-----112-|"),
        # Nothing says where.
        ("B|----13---|", "B|----13----|"),
    ],
)
def test_what_nothing_proves_is_left_to_the_writer(right: str, wrong: str) -> None:
    damaged = PAGE.replace(right, wrong, 1)
    assert damaged != PAGE
    assert [fix for finding in findings(damaged) for fix in finding.fixes if fix.safe] == []


@st.composite
def slips(draw: st.DrawFn) -> str:
    """A sample page with one filler or bar line lost, doubled or put elsewhere."""
    text = decode("page", draw(st.sampled_from(SAMPLES)).read_bytes()).text
    page = read_text(Source("page", text)).page
    assert page is not None
    row = draw(st.sampled_from([row for system in page.systems for row in system.rows]))
    at = draw(st.sampled_from([c for c in range(row.start, row.end) if row.line.text[c] in "-|"]))
    place = row.line.offset + at
    sign = draw(st.sampled_from(["", "--", "|-", "-"]))
    return text[:place] + sign + text[place + 1 :]


@given(slips())
@settings(max_examples=60)
def test_a_repair_leaves_less_to_find_and_a_safe_one_keeps_what_is_read(damaged: str) -> None:
    try:
        before = read_text(Source("page", damaged))
    except UnreadableError:
        return
    for fix in [fix for finding in findings(damaged) for fix in finding.fixes]:
        repaired = applied(damaged, fix)
        if fix.safe:
            assert music(read_text(Source("page", repaired)).score) == music(before.score)
        assert len(findings(repaired)) < len(findings(damaged))


def test_the_filler_of_the_row_is_used() -> None:
    page = PAGE.replace("-", "–")
    damaged = page.replace("D|–––––––––|", "D|––––––––|")
    fixes = [fix for finding in findings(damaged) for fix in finding.fixes]
    assert applied(damaged, fixes[0]) == page


def test_a_repair_says_what_it_does() -> None:
    damaged = PAGE.replace("G|---0-------0-----|", "G|---0------0-----|")
    (finding, *_) = findings(damaged)
    assert finding.fixes[0].message == 'on string G put "-" in at column 13'


@pytest.mark.parametrize(("digit", "letter"), [("0", "O"), ("0", "o"), ("1", "l"), ("1", "I")])
def test_a_letter_for_a_digit_is_put_right(digit: str, letter: str) -> None:
    page = PAGE.replace("|-----0-------0---|", f"|-----{digit}-------0---|")
    damaged = page.replace(f"|-----{digit}-------0---|", f"|-----{letter}-------0---|")
    fixes = [fix for finding in findings(damaged) for fix in finding.fixes]
    assert [applied(damaged, fix) for fix in fixes] == [page]
    assert fixes[0].safe


@pytest.mark.parametrize(
    ("open_rows", "closed_rows"),
    [
        (["e|-5-7-5-7-", "B|---------", "G|---------"], ["e|-5-7-5-7-|", "B|---------|", "G|---------|"]),
        (["e|-5-7-5-7-", "B|---", "G|-------"], ["e|-5-7-5-7-|", "B|---------|", "G|---------|"]),
        (
            ["e--5-7-5-7-|", "B----------|", "G----------|"],
            ["e|--5-7-5-7-|", "B|----------|", "G|----------|"],
        ),
    ],
)
def test_an_open_side_is_closed_on_every_string(open_rows: list[str], closed_rows: list[str]) -> None:
    damaged, page = "\n".join(open_rows) + "\n", "\n".join(closed_rows) + "\n"
    fixes = [fix for f in findings(damaged) if f.rule == "unclosed-bar" for fix in f.fixes]
    assert [applied(damaged, fix) for fix in fixes] == [page]
    assert [fix.safe for fix in fixes] == [True]
    assert music(read_text(Source("page", page)).score) == music(read_text(Source("page", damaged)).score)
