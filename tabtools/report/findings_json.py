"""Findings for programs: the JSON that ``schemas/findings.schema.json`` describes."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Sequence
from typing import Any

from tabtools.lint.finding import FileFindings, Finding, Fix, count
from tabtools.source import Source, Span

FORMAT = "tabtools-findings"
VERSION = 1


def render(files: Sequence[FileFindings]) -> str:
    """All findings of all files as one JSON object, with a summary."""
    objects = [finding_object(file.source, finding) for file in files for finding in file.findings]
    report = {"format": FORMAT, "version": VERSION, "findings": objects, "summary": _summary(files)}
    return json.dumps(report, indent=2, ensure_ascii=False) + "\n"


def finding_object(source: Source, finding: Finding) -> dict[str, Any]:
    """One finding. Lines and columns count from 1, in characters; the end is not included."""
    return {
        "path": source.name,
        **_range(source, finding.span),
        "rule": finding.rule,
        "severity": finding.severity.word,
        "message": finding.message,
        "bar": finding.bar,
        "fixes": [_fix_object(source, fix) for fix in finding.fixes],
    }


def _range(source: Source, span: Span) -> dict[str, int]:
    line, column = source.position(span.start)
    end_line, end_column = source.position(span.end)
    return {"line": line, "column": column, "end_line": end_line, "end_column": end_column}


def _fix_object(source: Source, fix: Fix) -> dict[str, Any]:
    edits = [{**_range(source, edit.span), "text": edit.text} for edit in fix.edits]
    return {"message": fix.message, "safe": fix.safe, "edits": edits}


def _summary(files: Sequence[FileFindings]) -> dict[str, Any]:
    counts = {f"{severity.word}s": number for severity, number in count(files).items()}
    rules = Counter(finding.rule for file in files for finding in file.findings)
    return {"files": len(files), **counts, "by_rule": dict(sorted(rules.items()))}
