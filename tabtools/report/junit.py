"""Findings as a JUnit report: a suite for each file, a failing case for each error or warning.

The elements are those that build servers agree on; no standard fixes them (common practice, no source).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from xml.sax.saxutils import escape, quoteattr

from tabtools.lint.finding import FileFindings, Finding, Severity
from tabtools.report.plain import one_line

# What XML 1.0 cannot hold, not even escaped.
_FORBIDDEN = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def render(files: Sequence[FileFindings]) -> str:
    """One suite for each file; a file without findings is a case that passes."""
    tests = sum(max(1, len(file.findings)) for file in files)
    failures = sum(_failures(file) for file in files)
    lines = ['<?xml version="1.0" encoding="UTF-8"?>']
    lines.append(f'<testsuites name="tabtools" tests="{tests}" failures="{failures}">')
    for file in files:
        lines += _suite(file)
    return "\n".join([*lines, "</testsuites>", ""])


def _failures(file: FileFindings) -> int:
    return sum(finding.severity >= Severity.WARNING for finding in file.findings)


def _suite(file: FileFindings) -> Iterator[str]:
    name = _attribute(file.source.name)
    tests = max(1, len(file.findings))
    yield f'  <testsuite name={name} tests="{tests}" failures="{_failures(file)}">'
    if not file.findings:
        yield f'    <testcase classname={name} name="no findings"/>'
    for finding in file.findings:
        yield from _case(file, finding)
    yield "  </testsuite>"


def _case(file: FileFindings, finding: Finding) -> Iterator[str]:
    line, column = file.source.position(finding.span.start)
    case = _attribute(f"{finding.rule} {line}:{column}")
    yield f"    <testcase classname={_attribute(file.source.name)} name={case}>"
    text = _clean(
        f"{file.source.name}:{line}:{column}: {finding.severity.word} {finding.rule}: {finding.message}"
    )
    if finding.severity >= Severity.WARNING:
        message, kind = _attribute(finding.message), finding.severity.word
        yield f'      <failure type="{kind}" message={message}>{escape(text)}</failure>'
    else:
        yield f"      <system-out>{escape(text)}</system-out>"
    yield "    </testcase>"


def _attribute(text: str) -> str:
    return quoteattr(_clean(text))


def _clean(text: str) -> str:
    return _FORBIDDEN.sub("\N{REPLACEMENT CHARACTER}", one_line(text))
