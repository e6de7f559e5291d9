"""Run rules over a document. No files, no printing."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.document import Document
from tabtools.lint.finding import Finding
from tabtools.lint.places import doubt_findings
from tabtools.lint.rule import Rule
from tabtools.lint.rules.internal import crash


def check(document: Document, rules: Iterable[Rule]) -> list[Finding]:
    """The findings of all rules, in the order of the text.

    A rule that raises becomes a finding ``internal`` that names it; the other rules go on.
    """
    found = [finding for rule in rules for finding in _run(rule, document)]
    return sorted(found, key=lambda f: (f.span.start, f.rule, f.message, f.span.end))


def _run(rule: Rule, document: Document) -> list[Finding]:
    try:
        return [*doubt_findings(rule, document), *rule.check(document)]
    except Exception as error:
        return [crash(f"the rule {rule.name}", error)]
