"""Findings as workflow commands of GitHub Actions, which shows them beside the lines of a change.

Form and escapes as in "Workflow commands for GitHub Actions" of GitHub's documentation (from memory).
"""

from __future__ import annotations

from collections.abc import Sequence

from tabtools.lint.finding import FileFindings, Finding, Severity
from tabtools.report.plain import one_line
from tabtools.source import Source

COMMANDS = {Severity.ERROR: "error", Severity.WARNING: "warning", Severity.INFO: "notice"}


def render(files: Sequence[FileFindings]) -> str:
    """One command a line for each finding."""
    return "".join(f"{_command(file.source, finding)}\n" for file in files for finding in file.findings)


def _command(source: Source, finding: Finding) -> str:
    line, column = source.position(finding.span.start)
    end_line, end_column = source.position(finding.span.end)
    place = {"file": source.name, "line": line, "col": column, "title": finding.rule}
    if end_line == line:
        place["endColumn"] = end_column  # columns count only where the finding lies in one line
    properties = ",".join(f"{name}={_property(str(value))}" for name, value in place.items())
    return f"::{COMMANDS[finding.severity]} {properties}::{_data(finding.message)}"


def _data(text: str) -> str:
    return one_line(text).replace("%", "%25")


def _property(text: str) -> str:
    return _data(text).replace(":", "%3A").replace(",", "%2C")
