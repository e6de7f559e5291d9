from __future__ import annotations

from tabtools.lint.finding import Severity
from tabtools.lint.option import Option
from tabtools.lint.rule import Rule
from tabtools.report.explanation import listing, page, section

ONE = Rule("off-beat", "rhythm", Severity.WARNING, "It is off.", "It hurts.", "bad\n", "good\n", fix="safe")
TWO = Rule("no-clef", "layout", Severity.ERROR, "None.", "Because.")


def test_section_says_everything() -> None:
    assert section(ONE) == (
        "## off-beat\n\nwarning, rhythm\n\n**What:** It is off.\n\n**Why:** It hurts.\n\n"
        "**Repair:** Can be repaired automatically without a change to what is played.\n\n"
        "**Bad:**\n\n```text\nbad\n```\n\n**Good:**\n\n```text\ngood\n```\n"
    )
    assert "```" not in section(TWO)


def test_listing_is_by_group() -> None:
    assert listing([ONE, TWO]) == (
        "layout:\n  no-clef   error    None.\nrhythm:\n  off-beat  warning  It is off.\n"
    )


def test_page_holds_every_rule() -> None:
    assert page([ONE, TWO]).count("\n## ") == 2


def test_options_are_described() -> None:
    limit = Option("limit", "integer", 4, "How many.", least=1, most=9)
    names = Option("names", "list", ("a",), "Which.", choices=("a", "b"))
    assert (
        "**Options:**\n\n- `limit` (a whole number; at least 1; at most 9; default 4): How many.\n"
        "- `names` (one of a, b; default a): Which.\n"
    ) in section(ONE._replace(options=(limit, names)))
