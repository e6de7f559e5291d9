"""Run rules over a document, and over what was collected from several. No files, no printing."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from tabtools.document import Document
from tabtools.lint.finding import Fact, FileFindings, Finding, Placed
from tabtools.lint.places import doubt_findings
from tabtools.lint.plan import Active, Plan, plain
from tabtools.lint.rule import Rule
from tabtools.lint.rules import Concerns, names
from tabtools.lint.view import DEFAULTS, Settings, View
from tabtools.record import NamedTuple
from tabtools.source import REMARK

_Facts = dict[str, tuple[Fact, ...]]


class _Outcome(NamedTuple):
    """What one rule gave: findings, and facts for a comparison with other files."""

    findings: tuple[Finding, ...] = ()
    facts: tuple[Fact, ...] = ()


def check(document: Document, rules: Iterable[Rule], settings: Settings = DEFAULTS) -> list[Finding]:
    """The findings of all rules with their default options, in the order of the text.

    A rule that raises becomes a finding ``internal`` that names it; the other rules go on. What a remark in
    the file silences is left out. Rules about collections of files say nothing about a single one.
    """
    return list(examine(document, plain(rules, settings)).findings)


def examine(document: Document, plan: Plan) -> FileFindings:
    """The findings that a plan gives for a document, and the facts to compare with those of other files."""
    view, concerns = View(document, plan.settings), Concerns(document)
    outcomes = {
        name: _run(active, view) for name in plan.names if name in concerns and (active := plan.active(name))
    }
    found = [finding for outcome in outcomes.values() for finding in outcome.findings]
    facts = {name: outcome.facts for name, outcome in outcomes.items()}
    if REMARK.search(document.source.text):
        found, facts = _with_remarks(document, plan, found, facts)
    kept = tuple((name, own) for name, own in facts.items() if own)
    return FileFindings(document.source, tuple(in_order(found)), kept)


def compare(files: Sequence[FileFindings], plans: Sequence[Plan]) -> list[FileFindings]:
    """The files with the findings of the rules that look at all of them together, each as the first of the
    plans has it that it runs in."""
    more: dict[str, list[Finding]] = {}
    for name in sorted({name for file in files for name, _ in file.facts}):
        active = next((active for plan in plans if (active := plan.active(name))), None)
        if active is not None:
            for path, finding in _compare(active, files):
                more.setdefault(path, []).append(finding)
    return [
        file._replace(findings=tuple(in_order([*file.findings, *found])))
        if (found := more.get(file.source.name))
        else file
        for file in files
    ]


def in_order(findings: Iterable[Finding]) -> list[Finding]:
    """Findings in the order of the text, then by rule."""
    return sorted(findings, key=lambda f: (f.span.start, f.rule, f.message, f.span.end))


def _run(active: Active, view: View) -> _Outcome:
    rule = active.rule
    own = view.with_options(active.options)
    try:
        found = [*doubt_findings(rule, own), *rule.check(own)]
        facts = tuple(rule.collect(own)) if rule.collect else ()
        return _Outcome(tuple(active.graded(finding) for finding in found), facts)
    except Exception as error:
        from tabtools.lint.rules.housekeeping.internal import crash  # hardly ever

        return _Outcome((crash(f"the rule {rule.name}", error),))


def _with_remarks(
    document: Document, plan: Plan, found: list[Finding], facts: _Facts
) -> tuple[list[Finding], _Facts]:
    """Findings and facts that no remark in the file silences, and what is wrong with the remarks."""
    from tabtools.lint.suppressions import about_remarks, ignores, silenced, silences  # few files have one

    remarks, bad = ignores(document)
    found = silenced(found, remarks)
    found += about_remarks(document.source, remarks, bad, plan, sorted({*names(), *plan.names}))
    kept = {
        name: tuple(fact for fact in own if not silences(remarks, name, fact.span))
        for name, own in facts.items()
    }
    return found, kept


def _compare(active: Active, files: Sequence[FileFindings]) -> list[tuple[str, Finding]]:
    rule = active.rule
    assert rule.compare is not None
    groups: dict[str, list[Placed]] = {}
    for file in files:
        for fact in _facts(file.facts).get(rule.name, ()):
            groups.setdefault(fact.key, []).append(Placed(file.source.name, fact))
    try:
        return [
            (placed.path, active.graded(rule.finding(message, placed.fact.span, bar=placed.fact.bar)))
            for group in groups.values()
            if len(group) > 1
            for placed, message in rule.compare(group)
        ]
    except Exception as error:
        from tabtools.lint.rules.housekeeping.internal import crash

        return [(files[0].source.name, crash(f"the rule {rule.name}", error))]


def _facts(facts: tuple[tuple[str, tuple[Fact, ...]], ...]) -> Mapping[str, tuple[Fact, ...]]:
    return dict(facts)
