"""Findings to the user, and to an exit code."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tabtools.cli import DONE, FAULT, FINDINGS
from tabtools.cli.output import complain, say, wants_colour
from tabtools.lint.finding import FileFindings, Severity
from tabtools.lint.rules import internal


def show(files: Sequence[FileFindings], *, to_stderr: bool = False) -> None:
    """Print the findings for people; to standard error where standard output holds a result."""
    from tabtools.report import terminal

    if to_stderr:
        complain(terminal.render(files).rstrip("\n"))
    else:
        say(terminal.render(files, colour=wants_colour()))


def exit_code(files: Iterable[FileFindings], fail_on: Severity = Severity.WARNING) -> int:
    """The exit code that findings ask for; our own fault comes before theirs."""
    findings = [finding for file in files for finding in file.findings]
    if any(finding.rule == internal.RULE.name for finding in findings):
        return FAULT
    return FINDINGS if any(finding.severity >= fail_on for finding in findings) else DONE
