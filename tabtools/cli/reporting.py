"""Findings to the user, in as many forms as asked for, and to an exit code."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

import click

import tabtools
from tabtools.cli import DONE, FAULT, FINDINGS
from tabtools.cli.output import complain, say, say_bytes, wants_colour
from tabtools.lint.finding import FileFindings, Severity
from tabtools.lint.rule import Rule
from tabtools.lint.rules.housekeeping import internal

FORMATS = ("text", "json", "sarif", "junit", "github", "gitlab")

# A format and the file that it goes to; None for standard output.
Output = tuple[str, str | None]


def outputs(values: Iterable[str]) -> list[Output]:
    """The reports that ``FORMAT`` and ``FORMAT:FILE`` ask for; text for people where none is to be printed.

    Raises click.BadParameter for another format, and for two on standard output.
    """
    found: list[Output] = []
    for value in values:
        form, _, file = value.partition(":")
        if form not in FORMATS:
            raise click.BadParameter(f"{form!r} is not one of {', '.join(map(repr, FORMATS))}.")
        found.append((form, file or None))
    shown = [form for form, file in found if file is None]
    if len(shown) > 1:
        raise click.BadParameter(
            f"{' and '.join(shown)} would both be printed: give one a file as in {shown[0]}:FILE."
        )
    return found if shown else [("text", None), *found]


def write_outputs(
    outs: Iterable[Output],
    files: Sequence[FileFindings],
    rules: Mapping[str, Rule],
    *,
    count: bool = False,
    least: Severity = Severity.WARNING,
    to_stderr: bool = False,
) -> None:
    """Every report to where it goes; with ``to_stderr`` that of standard output goes to standard error."""
    from tabtools.cli.files import write_atomic

    for form, file in outs:
        if form == "text" and file is None:
            show(files, to_stderr=to_stderr, count=count, least=least)
            continue
        data = _rendered(form, files, rules).encode("utf-8", "backslashreplace")
        if file is not None:
            write_atomic(file, data)
        elif to_stderr:
            complain(data.decode("utf-8").rstrip("\n"))
        else:
            say_bytes(data)


def _rendered(form: str, files: Sequence[FileFindings], rules: Mapping[str, Rule]) -> str:
    if form == "sarif":
        from tabtools.report import sarif

        return sarif.render(files, list(rules.values()), tabtools.__version__)
    if form == "json":
        form = "findings_json"
    from importlib import import_module

    text: str = import_module(f"tabtools.report.{form if form != 'text' else 'terminal'}").render(files)
    return text


def show(
    files: Sequence[FileFindings],
    *,
    to_stderr: bool = False,
    count: bool = False,
    least: Severity = Severity.WARNING,
) -> None:
    """Print the findings for people, those of the ``least`` severity and above; to standard error where
    standard output holds a result."""
    from tabtools.report import terminal

    colour = not to_stderr and wants_colour()
    text = terminal.counts(files) if count else terminal.render(files, least=least, colour=colour)
    if to_stderr:
        complain(text.rstrip("\n"))
    else:
        say(text, coloured=colour)


def exit_code(files: Iterable[FileFindings], fail_from: Severity = Severity.WARNING) -> int:
    """The exit code that findings ask for; our own fault comes before theirs."""
    findings = [finding for file in files for finding in file.findings]
    if any(finding.rule == internal.RULE.name for finding in findings):
        return FAULT
    return FINDINGS if any(finding.severity >= fail_from for finding in findings) else DONE
