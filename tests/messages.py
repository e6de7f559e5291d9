"""Every message once, as its rule's bad example makes it: `python -m tests.messages` after a change of words.

The file is there to be read aloud: a guitar teacher must understand each line.
"""

from __future__ import annotations

from pathlib import Path

from tabtools.lint.engine import check, compare, examine
from tabtools.lint.plan import plain
from tabtools.lint.rule import NEXT_FILE, Rule
from tabtools.lint.rules import load_all
from tabtools.reading import read
from tabtools.source import UnreadableError

FILE = Path(__file__).parent / "cases" / "messages.txt"


def messages() -> str:
    """Each rule with its first words, its severity, and what it says of its bad example."""
    return "\n".join(_block(rule) for rule in load_all() if rule.bad)


def _block(rule: Rule) -> str:
    said = dict.fromkeys(_said(rule))
    lines = [f"{rule.name}: {rule.severity.word}: {rule.what}", *(f"  {message}" for message in said)]
    return "\n".join(lines) + "\n"


def _said(rule: Rule) -> list[str]:
    if rule.compare is not None:
        plan = plain([rule])
        pages = rule.bad.split(NEXT_FILE)
        files = [examine(read(str(number), page.encode()), plan) for number, page in enumerate(pages)]
        return [f.message for file in compare(files, [plan]) for f in file.findings if f.rule == rule.name]
    try:
        document = read("example", rule.bad.encode(rule.bad_encoding))
    except UnreadableError as error:
        return [error.reason]
    return [finding.message for finding in check(document, [rule]) if finding.rule == rule.name]


if __name__ == "__main__":
    FILE.write_text(messages(), "utf-8")
