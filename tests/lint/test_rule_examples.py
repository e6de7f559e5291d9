"""Every rule runs on its own examples, through the real readers."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import tabtools
from tabtools.cli.load import failure
from tabtools.document import Document
from tabtools.doubts import kinds
from tabtools.lint.engine import check, compare, examine
from tabtools.lint.finding import Finding, Severity
from tabtools.lint.fixes import repair
from tabtools.lint.places import doubt_findings
from tabtools.lint.plan import plain
from tabtools.lint.rule import NEXT_FILE, Rule
from tabtools.lint.rules import COLLECTION, Concerns, group_of, load_all, names
from tabtools.lint.view import View
from tabtools.reading import read
from tabtools.source import UnreadableError

RULES = load_all()
_NAMES = "layout rhythm playability position harmony MusicXML collection housekeeping"
GROUPS = set(_NAMES.split())
WITH_EXAMPLES = [rule for rule in RULES if rule.name != "internal" and rule.collect is None]
COMPARING = [rule for rule in RULES if rule.collect is not None]


def _findings(text: str, encoding: str = "utf-8") -> list[Finding]:
    data = text.encode(encoding)
    try:
        return check(read("example.txt", data), RULES)
    except UnreadableError as error:
        return list(failure("example.txt", error).findings)


@pytest.mark.parametrize("rule", WITH_EXAMPLES, ids=lambda rule: rule.name)
def test_bad_example_fires_the_rule(rule: Rule) -> None:
    own = [f for f in _findings(rule.bad, rule.bad_encoding) if f.rule == rule.name]
    assert own
    assert own[0].severity == rule.severity
    for finding in own:
        assert 0 <= finding.span.start <= finding.span.end <= len(rule.bad)


@pytest.mark.parametrize("rule", WITH_EXAMPLES, ids=lambda rule: rule.name)
def test_good_example_is_clean(rule: Rule) -> None:
    found = _findings(rule.good)
    assert rule.name not in [f.rule for f in found]
    assert [f for f in found if f.severity >= Severity.WARNING] == []


@pytest.mark.parametrize("page", WITH_EXAMPLES, ids=lambda rule: rule.name)
def test_a_rule_that_is_passed_over_has_nothing_to_say(page: Rule) -> None:
    try:
        document = read("example.txt", page.bad.encode(page.bad_encoding))
    except UnreadableError:
        return
    concerns = Concerns(document)
    for rule in RULES:
        if rule.name not in concerns and rule.group != "housekeeping":
            view = View(document, options={option.name: option.default for option in rule.options})
            assert [*doubt_findings(rule, view), *rule.check(view)] == []


@pytest.mark.parametrize("rule", RULES, ids=lambda rule: rule.name)
def test_rule_is_described(rule: Rule) -> None:
    assert rule.what.endswith(".")
    assert len(rule.why) > 60
    assert rule.why.endswith(".")
    assert rule.group in GROUPS
    assert rule.group == group_of(rule.name, {})
    assert (rule.group == COLLECTION) == (rule.collect is not None)
    if rule.words is not None:  # and does nothing else, so that without a doubt it is not even loaded
        assert rule.check is Rule("", "", Severity.INFO, "", "").check
    assert rule.fix in {"safe", "unsafe", None}


def test_file_name_and_rule_name_agree() -> None:
    assert tuple(rule.name for rule in RULES) == names()
    assert list(names()) == sorted(names())


def test_every_doubt_of_the_readers_has_its_rule() -> None:
    """And no other rule has words for one."""
    assert set(kinds()) == {rule.name for rule in RULES if rule.words is not None}


def test_every_doubt_is_made_by_some_reader() -> None:
    package = Path(tabtools.__file__).parent
    readers = [*(package / "text").rglob("*.py"), *(package / "musicxml").rglob("*.py")]
    code = "\n".join(path.read_text("utf-8") for path in readers)
    records = [record.__name__ for of_kind in kinds().values() for record in of_kind]
    assert [name for name in records if not re.search(rf"\b{name}\b", code)] == []


@pytest.mark.parametrize("rule", COMPARING, ids=lambda rule: rule.name)
def test_examples_of_rules_that_compare_files(rule: Rule) -> None:
    plan = plain(RULES)
    for example, fires in ((rule.bad, True), (rule.good, False)):
        pages = example.split(NEXT_FILE)
        files = [examine(read(str(number), page.encode()), plan) for number, page in enumerate(pages)]
        found = {finding.rule for file in compare(files, [plan]) for finding in file.findings}
        assert (rule.name in found) == fires


@pytest.mark.parametrize("rule", WITH_EXAMPLES, ids=lambda rule: rule.name)
def test_repairs_are_declared_and_work(rule: Rule) -> None:
    """What a rule offers on its bad example is declared, is accepted, and leaves no finding of the rule."""
    own = [f for f in _findings(rule.bad, rule.bad_encoding) if f.rule == rule.name]
    offered = {fix.safe for finding in own for fix in finding.fixes}
    assert offered <= {None: set(), "safe": {True}, "unsafe": {True, False}}[rule.fix]
    if not offered:
        return

    def again(text: str) -> Document:
        return read("example.txt", text.encode(rule.bad_encoding))

    others = [other for other in RULES if other.name == rule.name or rule.group == "housekeeping"]
    repaired = repair(again(rule.bad), plain(others), again, unsafe=rule.fix == "unsafe")
    assert rule.name in repaired.rules
    assert [f.rule for f in repaired.left.findings if f.severity >= Severity.WARNING] == []
