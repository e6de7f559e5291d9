"""Rules for people: a list, and what each one looks for, as Markdown that reads as plain text too."""

from __future__ import annotations

from collections.abc import Iterable
from itertools import groupby

from tabtools.lint.option import KINDS, Option
from tabtools.lint.rule import Rule

FIXES = {
    "safe": "Can be repaired automatically without a change to what is played.",
    "unsafe": "Can be repaired automatically, but what is played may change.",
    None: "To be repaired by hand.",
}


def listing(rules: Iterable[Rule]) -> str:
    """One line for each rule: name, severity, and what it looks for, by group."""
    ordered = sorted(rules, key=lambda rule: (rule.group.lower(), rule.name))
    width = max(len(rule.name) for rule in ordered)
    lines = []
    for group, members in groupby(ordered, key=lambda rule: rule.group):
        lines.append(f"{group}:")
        lines += [f"  {rule.name:<{width}}  {rule.severity.word:<7}  {rule.what}" for rule in members]
    return "\n".join(lines) + "\n"


def page(rules: Iterable[Rule]) -> str:
    """All rules as one page of Markdown."""
    return "# Rules\n\n" + "\n".join(section(rule) for rule in rules)


def _option(option: Option) -> str:
    kind = "one of " + ", ".join(option.choices) if option.choices else KINDS[option.kind]
    bounds = [f"at least {option.least}"] * (option.least is not None)
    bounds += [f"at most {option.most}"] * (option.most is not None)
    default = ", ".join(option.default) if isinstance(option.default, tuple) else option.default
    details = "; ".join([kind, *bounds, f"default {default}"])
    return f"- `{option.name}` ({details}): {option.what}"


def section(rule: Rule) -> str:
    """One rule as a section of Markdown."""
    parts = [
        f"## {rule.name}",
        f"{rule.severity.word}, {rule.group}",
        f"**What:** {rule.what}",
        f"**Why:** {rule.why}",
    ]
    if rule.bad:
        parts.append(f"**Repair:** {FIXES[rule.fix]}")
    if rule.options:
        parts.append("**Options:**\n\n" + "\n".join(_option(option) for option in rule.options))
    for title, example in (("Bad", rule.bad), ("Good", rule.good)):
        if example:
            parts.append(f"**{title}:**\n\n```text\n{example}```")
    return "\n\n".join(parts) + "\n"
