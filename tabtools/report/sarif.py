"""Findings as SARIF 2.1.0 (OASIS standard), with rules, help and fixes, for code hosts and editors."""

from __future__ import annotations

import json
from collections.abc import Sequence
from typing import Any
from urllib.parse import quote

from tabtools.lint.accepted import fingerprint
from tabtools.lint.finding import FileFindings, Finding, Fix, Severity
from tabtools.lint.rule import Rule
from tabtools.report.explanation import section
from tabtools.source import Source, Span

SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
LEVELS = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.INFO: "note"}


def render(files: Sequence[FileFindings], rules: Sequence[Rule], version: str) -> str:
    """One run with all rules and all findings; ``version`` is that of the program."""
    index = {rule.name: number for number, rule in enumerate(rules)}
    driver = {"name": "tabtools", "semanticVersion": version, "rules": [_rule(rule) for rule in rules]}
    run = {
        "tool": {"driver": driver},
        "columnKind": "unicodeCodePoints",
        "results": [_result(file.source, finding, index) for file in files for finding in file.findings],
    }
    return (
        json.dumps({"$schema": SCHEMA, "version": "2.1.0", "runs": [run]}, indent=2, ensure_ascii=False)
        + "\n"
    )


def _rule(rule: Rule) -> dict[str, Any]:
    return {
        "id": rule.name,
        "shortDescription": {"text": rule.what},
        "fullDescription": {"text": rule.why},
        "help": {"text": f"{rule.what} {rule.why}", "markdown": section(rule)},
        "defaultConfiguration": {"level": LEVELS[rule.severity]},
        "properties": {"tags": [rule.group]},
    }


def _result(source: Source, finding: Finding, index: dict[str, int]) -> dict[str, Any]:
    result: dict[str, Any] = {
        "ruleId": finding.rule,
        "level": LEVELS[finding.severity],
        "message": {"text": finding.message},
        "locations": [{"physicalLocation": _place(source, finding.span)}],
        "partialFingerprints": {"ruleAndLine/v1": fingerprint(source, finding)},
    }
    if finding.rule in index:
        result["ruleIndex"] = index[finding.rule]
    if finding.related:
        result["relatedLocations"] = [
            {"id": number, "physicalLocation": _place(source, span)}
            for number, span in enumerate(finding.related, 1)
        ]
    if finding.fixes:
        result["fixes"] = [_fix(source, fix) for fix in finding.fixes]
    return result


def _fix(source: Source, fix: Fix) -> dict[str, Any]:
    replacements = [
        {"deletedRegion": _region(source, edit.span), "insertedContent": {"text": edit.text}}
        for edit in fix.edits
    ]
    safe = "safe" if fix.safe else "may change what is played"
    return {
        "description": {"text": f"{fix.message} ({safe})"},
        "artifactChanges": [{"artifactLocation": _location(source), "replacements": replacements}],
    }


def _place(source: Source, span: Span) -> dict[str, Any]:
    return {"artifactLocation": _location(source), "region": _region(source, span)}


def _location(source: Source) -> dict[str, str]:
    name = source.name.replace("\\", "/").encode("utf-8", "surrogateescape")
    return {"uri": ("file://" if name.startswith(b"/") else "") + quote(name)}


def _region(source: Source, span: Span) -> dict[str, int]:
    line, column = source.position(span.start)
    end_line, end_column = source.position(span.end)
    return {"startLine": line, "startColumn": column, "endLine": end_line, "endColumn": end_column}
