"""Findings as a code quality report of GitLab, which shows them in merge requests.

Fields as in "Code Quality report format" of GitLab's documentation (from memory).
"""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from collections.abc import Sequence
from typing import Any

from tabtools.lint.accepted import fingerprint
from tabtools.lint.finding import FileFindings, Finding, Severity
from tabtools.source import Source

SEVERITIES = {Severity.ERROR: "major", Severity.WARNING: "minor", Severity.INFO: "info"}


def render(files: Sequence[FileFindings]) -> str:
    """A list with one issue for each finding; fingerprints are unique and survive moving lines."""
    issues = []
    for file in files:
        seen: Counter[str] = Counter()
        for finding in file.findings:
            mark = fingerprint(file.source, finding)
            seen[mark] += 1
            issues.append(_issue(file.source, finding, f"{file.source.name}\0{mark}\0{seen[mark]}"))
    return json.dumps(issues, indent=2, ensure_ascii=False) + "\n"


def _issue(source: Source, finding: Finding, identity: str) -> dict[str, Any]:
    line, _ = source.position(finding.span.start)
    end, _ = source.position(max(finding.span.start, finding.span.end - 1))
    return {
        "description": finding.message,
        "check_name": finding.rule,
        "fingerprint": hashlib.sha256(identity.encode("utf-8", "surrogatepass")).hexdigest()[:32],
        "severity": SEVERITIES[finding.severity],
        "location": {"path": source.name, "lines": {"begin": line, "end": end}},
    }
