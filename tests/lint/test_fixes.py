"""Repairs: to a fixed point, proved, and never worse than before. The rules here are made for the test."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable

import pytest

from tabtools.lint.finding import Edit, Finding, Fix, Severity
from tabtools.lint.fixes import Repaired, repair
from tabtools.lint.plan import plain
from tabtools.lint.rule import Rule
from tabtools.lint.view import View
from tabtools.reading import read
from tabtools.source import Span

PAGE = """\
Tuning: standard
Words: foo foo bar

   q   q   q   q     q   q   h
e|-----------------|-----------------|
B|-------------5---|-3---------------|
G|-----5---7-------|-----5-----------|
D|-7---------------|---------7-------|
A|-----------------|-----------------|
E|-----------------|-----------------|
"""
Changes = Callable[[View, re.Match[str]], tuple[Span, ...]]


def _none(view: View, match: re.Match[str]) -> tuple[Span, ...]:
    return ()


def _rule(
    pattern: str, text: str, *, safe: bool = True, name: str = "some-rule", changes: Changes = _none
) -> Rule:
    """A rule that puts ``text`` in the place of whatever a pattern finds."""

    def check(view: View) -> Iterable[Finding]:
        for match in re.finditer(pattern, view.document.source.text):
            span = Span(match.start(), match.end())
            fix = Fix((Edit(span, match.expand(text)),), "do it", safe, changes(view, match))
            yield Finding(name, Severity.WARNING, "is wrong", span, fixes=(fix,))

    return Rule(name, "layout", Severity.WARNING, "What.", "Why.", check=check)


def _repaired(*rules: Rule, unsafe: bool = False, page: str = PAGE) -> Repaired:
    def again(text: str) -> object:
        return read("page.txt", text.encode())

    return repair(again(page), plain(rules), again, unsafe=unsafe)  # type: ignore[arg-type]


def _left(repaired: Repaired) -> list[str]:
    return [finding.rule for finding in repaired.left.findings]


def test_safe_repairs_are_made_and_nothing_is_left() -> None:
    repaired = _repaired(_rule("foo", "baz"))
    assert repaired.text == PAGE.replace("foo", "baz")
    assert repaired.rules == ("some-rule", "some-rule")
    assert _left(repaired) == []


def test_twice_equals_once() -> None:
    rule = _rule(r"(fo+)o\b", r"\1", name="shorter")
    once = _repaired(rule)
    assert once.text == PAGE.replace("foo", "fo")
    assert _repaired(rule, page=once.text).text == once.text


def test_unsafe_ones_only_when_asked() -> None:
    rule = _rule("-5-(?=--)", "-6-", safe=False)
    assert _repaired(rule).text == PAGE
    assert _left(_repaired(rule)) == ["some-rule"] * 3
    assert _repaired(rule, unsafe=True).text == re.sub("-5-(?=--)", "-6-", PAGE)


@pytest.mark.parametrize(
    ("pattern", "text"),
    [
        ("(?<=-)5(?=-)", "6"),  # another fret
        ("q   q   h", "h   q   q"),  # other lengths
        ("standard", "drop d"),
        (r"(?m)^B.*\n", ""),
    ],
    ids=["fret", "time", "tuning", "string"],
)
def test_what_is_called_safe_and_is_not_is_refused(pattern: str, text: str) -> None:
    repaired = _repaired(_rule(pattern, text))
    assert repaired.text == PAGE
    assert "internal" not in _left(repaired)
    for finding in repaired.left.findings:
        if finding.rule == "some-rule":
            assert finding.message.endswith("(its repair was not made: it would change more than it may)")
            assert not finding.fixes


def test_a_faulty_repair_does_not_stop_the_good_ones() -> None:
    repaired = _repaired(_rule("(?<=-)5(?=-)", "6", name="bad-one"), _rule("foo", "baz"))
    assert repaired.text == PAGE.replace("foo", "baz")
    assert set(_left(repaired)) == {"bad-one"}


def test_an_unsafe_repair_may_change_its_own_notes_and_no_others() -> None:
    both = _rule(r"-3(-+\|\n(?:.*\n){2}.*-)7-", r"-4\1-8", safe=False)
    assert _left(_repaired(both, unsafe=True)) == []
    elsewhere = _rule("Words: foo", "Time: 3/4", safe=False)
    assert _repaired(elsewhere, unsafe=True).text == PAGE or _left(_repaired(elsewhere, unsafe=True)) == []
    renamed = _rule(r"(?<=\n)G(?=\|)", "F", safe=False, name="renamed")
    assert "internal" not in _left(_repaired(renamed, unsafe=True))


def test_a_declared_change_may_go_further() -> None:
    swap = _rule(r"(?<=\n)(B\|.*\n)(G\|.*\n)", r"\2\1", safe=False)
    assert "internal" not in _left(_repaired(swap, unsafe=True))

    def all_of_it(view: View, match: re.Match[str]) -> tuple[Span, ...]:
        return (Span(0, len(view.document.source.text)),)

    longer = _rule("q   q   h", "h   q   q", safe=False)
    declared = _rule("q   q   h", "h   q   q", safe=False, changes=all_of_it)
    assert _repaired(longer, unsafe=True).text == PAGE
    assert _repaired(declared, unsafe=True).text == PAGE.replace("q   q   h", "h   q   q")


def test_repairs_without_end_leave_the_file() -> None:
    endless = _rule(r"bar\b|barx+", r"\g<0>x")
    repaired = _repaired(endless)
    assert repaired.text == PAGE
    assert "have no end" in repaired.left.findings[0].message
    there, back = _rule("foo", "baz", name="there"), _rule("baz", "foo", name="back")
    repaired = _repaired(there, back)
    assert repaired.text == PAGE
    assert "it would be taken back by another one" in repaired.left.findings[0].message


def test_a_file_that_would_be_worse_stays() -> None:
    def check(view: View) -> Iterable[Finding]:
        if "baz" in view.document.source.text:
            yield from (Finding("worse", Severity.ERROR, "is bad", Span(0, 1)) for _ in range(2))

    worse = Rule("worse", "layout", Severity.ERROR, "What.", "Why.", check=check)
    repaired = _repaired(_rule("foo bar", "baz"), worse)
    assert repaired.text == PAGE
    assert "make the file worse" in repaired.left.findings[0].message


def test_a_repair_that_makes_the_file_unreadable_is_refused() -> None:
    repaired = _repaired(_rule(r"(?s)e\|.*", ""))
    assert repaired.text == PAGE
    assert _left(repaired) == ["some-rule"]


def test_overlapping_repairs_wait_for_the_next_round() -> None:
    one, two = (
        _rule("foo foo", "foo  foo", name="one"),
        _rule("(?<! )foo (?=foo)|foo  (?=foo)", "foo-", name="two"),
    )
    repaired = _repaired(one, two)
    assert "internal" not in _left(repaired)
    assert repaired.text == PAGE.replace("foo foo", "foo-foo")
