from __future__ import annotations

from tabtools.lint.rules import load, load_all, names
from tests.cli.support import run


def test_one_rule() -> None:
    result = run("explain", "bar-overfull")
    assert result.exit_code == 0
    rule = load("bar-overfull")
    for words in (rule.what, rule.why, rule.bad, rule.good):
        assert words in result.stdout


def test_all_rules_as_markdown() -> None:
    result = run("explain", "--all")
    assert result.exit_code == 0
    assert result.stdout.startswith("# Rules\n")
    for rule in load_all():
        assert f"\n## {rule.name}\n" in result.stdout
    assert run("explain", "--all", "internal").exit_code == 2


def test_the_list() -> None:
    result = run("explain")
    assert result.exit_code == 0
    for name in names():
        assert f"  {name} " in result.stdout
