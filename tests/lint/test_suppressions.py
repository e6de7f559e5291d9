"""Remarks that silence rules: which findings they reach, and what is said about the remarks themselves."""

from __future__ import annotations

import pytest

from tabtools.lint.engine import check
from tabtools.lint.finding import Finding
from tabtools.lint.rules import load_all
from tabtools.reading import read
from tests.cli.support import CLEAN

RULES = [
    rule
    for rule in load_all()
    if rule.group == "housekeeping" or rule.name in ("fret-off-neck", "split-number")
]
SYSTEM = """\
e|-27---------28---|
B|-------------5---|
G|-----5---7-------|
D|-7---------------|
A|-----------29----|
E|-----------------|
"""
OFF = "fret-off-neck"


def _page(*lines: str) -> str:
    return "\n".join(["Tuning: standard", "", *lines])


def _rules(text: str) -> list[str]:
    return [finding.rule for finding in _found(text)]


def _found(text: str) -> list[Finding]:
    return check(read("page.txt", text.encode()), RULES)


REACHES = [
    ("nothing said", _page(SYSTEM), [OFF] * 3),
    ("a line of its own", _page("tabtools: ignore fret-off-neck because it is long", SYSTEM), []),
    ("as a sentence", _page("(tabtools: ignore fret-off-neck because it is long.)", SYSTEM), []),
    (
        "right of a row",
        _page(SYSTEM.replace("28---|", "28---|  tabtools: ignore fret-off-neck because x")),
        [OFF],
    ),
    (
        "a system, said right of a row",
        _page(SYSTEM.replace("28---|", "28---|  tabtools: ignore fret-off-neck in system because x")),
        [],
    ),
    ("the next line", _page("tabtools: ignore fret-off-neck in line because x", SYSTEM), [OFF]),
    (
        "only the next system",
        _page("tabtools: ignore fret-off-neck because x", SYSTEM, "", SYSTEM),
        [OFF] * 3,
    ),
    ("below the last system", _page(SYSTEM, "", "tabtools: ignore fret-off-neck because x"), []),
    ("the file", _page(SYSTEM, "", SYSTEM, "tabtools: ignore fret-off-neck in file because x"), []),
    ("another rule", _page("tabtools: ignore split-number because x", SYSTEM), ["unused-ignore", *[OFF] * 3]),
    (
        "two rules, one of them idle",
        _page("tabtools: ignore fret-off-neck and split-number because x", SYSTEM),
        ["unused-ignore"],
    ),
    ("no reason", _page("tabtools: ignore fret-off-neck", SYSTEM), ["ignore-without-reason"]),
    (
        "no such rule",
        _page("tabtools: ignore fret-of-neck because x", SYSTEM),
        ["unknown-ignore", *[OFF] * 3],
    ),
    (
        "a rule that can't be silenced",
        _page("tabtools: ignore internal because x", CLEAN),
        ["unknown-ignore"],
    ),
    ("no rule", _page("tabtools: ignore because x", SYSTEM), ["unknown-ignore", *[OFF] * 3]),
    ("something else", _page("Checked with tabtools: it has 27 frets", CLEAN), []),
]


@pytest.mark.parametrize(("case", "text", "expected"), REACHES, ids=[case for case, _, _ in REACHES])
def test_what_a_remark_reaches(case: str, text: str, expected: list[str]) -> None:
    assert _rules(text) == expected


def test_a_remark_is_no_part_of_the_page() -> None:
    remark = "tabtools: ignore encoding in file because key of Eb, capo 3, 3/4\n"
    for before, after in ((remark, ""), ("", remark), ("Tuning: standard\n" + remark, "")):
        assert read("a", (before + CLEAN + after).encode()).score.title is None
        assert _bars(before + CLEAN + after) == _bars(CLEAN)
    between = CLEAN.replace("e|--", remark + "e|--")
    assert _bars(between) == _bars(CLEAN)


def _bars(text: str) -> list[object]:
    return [
        (bar.key, bar.time, bar.words, [(event.onset, event.duration) for event in bar.events])
        for part in read("a", text.encode()).score.parts
        for bar in part.bars
    ]


def test_the_names_and_the_repair() -> None:
    (unknown, *_) = _found(_page("tabtools: ignore fret-of-neck because x", SYSTEM))
    assert "did you mean fret-off-neck?" in unknown.message
    text = _page("tabtools: ignore fret-off-neck, split-number because x", SYSTEM)
    (unused,) = _found(text)
    assert _applied(text, unused) == _page("tabtools: ignore fret-off-neck because x", SYSTEM)
    for remark in (
        "tabtools: ignore split-number because x\n",
        "  # tabtools: ignore split-number because x\n",
    ):
        (unused,) = _found("Tuning: standard\n" + remark + CLEAN)
        assert unused.rule == "unused-ignore"
    assert _applied("Tuning: standard\ntabtools: ignore split-number because x\n" + CLEAN, unused_at(17)) == (
        "Tuning: standard\n" + CLEAN
    )
    row = CLEAN.replace("5---|", "5---|  tabtools: ignore split-number because x")
    assert _applied(row, _found(row)[0]) == CLEAN


def unused_at(start: int) -> Finding:
    text = "Tuning: standard\ntabtools: ignore split-number because x\n" + CLEAN
    (unused,) = _found(text)
    assert unused.fixes[0].edits[0].span.start == start
    return unused


def _applied(text: str, finding: Finding) -> str:
    (edit,) = finding.fixes[0].edits
    return text[: edit.span.start] + edit.text + text[edit.span.end :]


XML = """\
<?xml version="1.0" encoding="UTF-8"?>
<score-partwise version="4.0">
  <part-list><score-part id="P1"><part-name>Guitar</part-name></score-part></part-list>
  <part id="P1">
    <measure number="1">
      <attributes>
        <divisions>1</divisions>
        <clef><sign>TAB</sign><line>5</line></clef>
      </attributes>
      <note>
        <pitch><step>E</step><octave>4</octave></pitch><duration>4</duration><type>whole</type>
        <notations><technical><string>1</string><fret>0</fret></technical></notations>
      </note>
    </measure>
    <measure number="2">
      <note>
        <pitch><step>C</step><octave>7</octave></pitch><duration>4</duration><type>whole</type>
        <notations><technical><string>1</string><fret>32</fret></technical></notations>
      </note>
    </measure>
  </part>
</score-partwise>
"""
COMMENT = "<!-- tabtools: ignore fret-off-neck{} because it is long -->"
PLACES = [
    ("none", XML, [OFF]),
    ("before the part", XML.replace("  <part id", COMMENT.format(" in file") + "\n  <part id"), []),
    ("in the measure", XML.replace('number="2">', 'number="2">' + COMMENT.format("")), []),
    (
        "in the other measure",
        XML.replace('number="1">', 'number="1">' + COMMENT.format("")),
        [OFF, "unused-ignore"],
    ),
    (
        "before the measure",
        XML.replace('    <measure number="2">', COMMENT.format("") + '\n    <measure number="2">'),
        [],
    ),
]


@pytest.mark.parametrize(("case", "text", "expected"), PLACES, ids=[case for case, _, _ in PLACES])
def test_comments_of_musicxml(case: str, text: str, expected: list[str]) -> None:
    rules = [rule for rule in RULES if rule.name in (OFF, "unused-ignore", "unknown-ignore")]
    found = check(read("page.musicxml", text.encode()), rules)
    assert sorted(finding.rule for finding in found) == expected


def test_a_line_of_musicxml() -> None:
    marked = XML.replace("<fret>32</fret>", "<fret>32</fret>" + COMMENT.format(" in line"))
    rules = [rule for rule in RULES if rule.name == OFF]
    before = check(read("page.musicxml", XML.encode()), rules)[0].span.start
    line = XML.count("\n", 0, before)
    lines = XML.split("\n")
    lines.insert(line, COMMENT.format(" in line"))
    assert check(read("page.musicxml", "\n".join(lines).encode()), rules) == []
    assert marked.count("tabtools") == 1
