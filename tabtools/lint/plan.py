"""What runs over a file: rules with severities and options, and what the user says for all of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from types import MappingProxyType
from typing import Any, NamedTuple

from tabtools.lint.finding import Finding, Severity
from tabtools.lint.rule import Rule
from tabtools.lint.view import DEFAULTS, Settings


class Active(NamedTuple):
    """A rule that runs, with the severity that the user gives it (None: its own) and its options."""

    rule: Rule
    severity: Severity | None = None
    options: Mapping[str, Any] = MappingProxyType({})

    def graded(self, finding: Finding) -> Finding:
        """The finding with the user's severity; one that the rule itself takes for less stays no higher."""
        if self.severity is None:
            return finding
        milder = finding.severity < self.rule.severity
        grade = min(finding.severity, self.severity) if milder else self.severity
        return replace(finding, severity=grade)


class Plan(NamedTuple):
    """All that a check of one file depends on besides the file."""

    rules: tuple[Active, ...]
    settings: Settings = DEFAULTS

    def active(self, name: str) -> Active | None:
        """The rule of this name where it runs."""
        return next((active for active in self.rules if active.rule.name == name), None)


def plain(rules: Iterable[Rule], settings: Settings = DEFAULTS) -> Plan:
    """The plan of rules as they come, each with its own severity and the defaults of its options."""
    return Plan(tuple(Active(rule, None, defaults(rule)) for rule in rules), settings)


def defaults(rule: Rule) -> dict[str, Any]:
    """The options of a rule with their default values."""
    return {option.name: option.default for option in rule.options}
