from __future__ import annotations

from collections.abc import Iterable

import pytest

from tabtools.document import Document
from tabtools.lint.engine import check
from tabtools.lint.finding import FileFindings, Finding, Severity, count
from tabtools.lint.rule import Rule
from tabtools.lint.rules import load, names
from tabtools.lint.view import View
from tabtools.score import Score
from tabtools.source import Source, Span

EMPTY = Document(Source("page.txt", "some text"), Score())


def _rule(name: str, *starts: int) -> Rule:
    def run(view: View) -> Iterable[Finding]:
        return [Finding(name, Severity.INFO, "says so", Span(start, start + 1)) for start in starts]

    return Rule(name, "layout", Severity.INFO, "What.", "Why.", check=run)


def _crash(view: View) -> Iterable[Finding]:
    yield Finding("odd", Severity.INFO, "before it fell", Span(3, 4))
    raise ZeroDivisionError("no\nway")


def test_findings_come_in_the_order_of_the_text_then_by_rule() -> None:
    rules = [_rule("zebra", 5, 1), _rule("ant", 5)]
    found = check(EMPTY, rules)
    assert [(f.span.start, f.rule) for f in found] == [(1, "zebra"), (5, "ant"), (5, "zebra")]
    assert check(EMPTY, rules[::-1]) == found


def test_a_crash_becomes_a_finding_and_the_other_rules_go_on() -> None:
    odd = _rule("odd")._replace(check=_crash)
    crash, other = check(EMPTY, [odd, _rule("ant", 2)])
    assert other.rule == "ant"
    assert (crash.rule, crash.severity) == ("internal", Severity.ERROR)
    for words in ("the rule odd", "ZeroDivisionError", "no", "please report it"):
        assert words in crash.message
    assert "\n" not in crash.message


def test_severities_are_ordered_and_counted() -> None:
    assert Severity.INFO < Severity.WARNING < Severity.ERROR
    assert [severity.word for severity in Severity] == ["info", "warning", "error"]
    file = FileFindings(EMPTY.source, tuple(check(EMPTY, [_rule("ant", 1, 2)])))
    assert list(count([file, file]).items()) == [
        (Severity.ERROR, 0),
        (Severity.WARNING, 0),
        (Severity.INFO, 4),
    ]


def test_a_rule_is_loaded_by_name_only() -> None:
    assert load("bar-overfull").name == "bar-overfull"
    assert {"bar-overfull", "internal", "unreadable", "wide-stretch"} <= set(names())
    for wrong in ("bar_overfull", "nonsense", "", "../engine"):
        with pytest.raises(KeyError):
            load(wrong)
