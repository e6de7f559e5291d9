"""Run rules over a document. No files, no printing."""

from __future__ import annotations

from collections.abc import Iterable

from tabtools.document import Document
from tabtools.lint.finding import Finding
from tabtools.lint.places import doubt_findings
from tabtools.lint.rule import Rule
from tabtools.lint.rules.internal import crash
from tabtools.lint.view import DEFAULTS, Settings, View


def check(document: Document, rules: Iterable[Rule], settings: Settings = DEFAULTS) -> list[Finding]:
    """The findings of all rules, in the order of the text.

    A rule that raises becomes a finding ``internal`` that names it; the other rules go on.
    """
    view = View(document, settings)
    found = [finding for rule in rules for finding in _run(rule, view)]
    return sorted(found, key=lambda f: (f.span.start, f.rule, f.message, f.span.end))


def _run(rule: Rule, view: View) -> list[Finding]:
    try:
        return [*doubt_findings(rule, view), *rule.check(view)]
    except Exception as error:
        return [crash(f"the rule {rule.name}", error)]
