"""What runs over a file: rules with severities and options, and what the user says for all of them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from tabtools.lint.view import DEFAULTS, Settings
from tabtools.record import NamedTuple

if TYPE_CHECKING:
    from tabtools.lint.finding import Finding, Severity
    from tabtools.lint.rule import Rule


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
        return finding._replace(severity=grade)


class Plan(NamedTuple):
    """All that a check of one file depends on besides the file.

    ``names`` are those of the rules that run, all of them among ``rules``, which need not be loaded yet;
    ``severities`` and ``options`` are what the user says about any of them.
    """

    rules: Mapping[str, Rule]
    names: tuple[str, ...]
    settings: Settings = DEFAULTS
    severities: Mapping[str, Severity] = MappingProxyType({})
    options: Mapping[str, Mapping[str, Any]] = MappingProxyType({})

    def active(self, name: str) -> Active | None:
        """The rule of this name where it runs."""
        if name not in self.names:
            return None
        rule = self.rules[name]
        own = {option.name: option.default for option in rule.options}
        return Active(rule, self.severities.get(name), {**own, **self.options.get(name, {})})

    def all(self) -> list[Active]:
        """Every rule that runs."""
        return [active for name in self.names if (active := self.active(name))]


def plain(rules: Iterable[Rule], settings: Settings = DEFAULTS) -> Plan:
    """The plan of rules as they come, each with its own severity and the defaults of its options."""
    known = {rule.name: rule for rule in rules}
    return Plan(known, tuple(known), settings)
