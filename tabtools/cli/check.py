"""``tabtools check``: what the rules find."""

from __future__ import annotations

import click

from tabtools.cli.files import SUFFIXES, discover
from tabtools.cli.load import check_input
from tabtools.cli.output import complain, say_bytes
from tabtools.cli.reporting import exit_code, show
from tabtools.lint.finding import Severity
from tabtools.lint.rules import load_all

SEVERITIES = [severity.word for severity in sorted(Severity, reverse=True)]


@click.command("check", short_help="Report what is wrong, each fault at its line and column.")
@click.argument("paths", metavar="PATH...", nargs=-1, required=True)
@click.option(
    "--output-format",
    type=click.Choice(["text", "json"]),
    default="text",
    show_default=True,
    help="Text for people, or JSON for programs.",
)
@click.option(
    "--fail-on",
    type=click.Choice(SEVERITIES),
    default="warning",
    show_default=True,
    help="The least severity that makes the exit code 1.",
)
def command(paths: tuple[str, ...], output_format: str, fail_on: str) -> int:
    """Report what is wrong in text tab and MusicXML files, each fault at its line and column.

    PATH is a file, a directory (its .txt, .tab, .musicxml and .mxl files and every .xml file that holds a
    score, hidden ones left out) or - for standard input. Nothing is changed. A file that can't be read
    as tab or MusicXML is a finding too.
    """
    rules = load_all()
    files = [check_input(entry, rules) for entry in discover(paths)]
    if not files:
        complain(f"tabtools: no files to check: none ends in {', '.join(SUFFIXES)}")
    if output_format == "json":
        from tabtools.report import findings_json

        say_bytes(findings_json.render(files).encode("utf-8", "backslashreplace"))
    else:
        show(files)
    return exit_code(files, Severity[fail_on.upper()])
