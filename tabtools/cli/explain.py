"""``tabtools explain``: what a rule looks for, why, and how to put it right."""

from __future__ import annotations

import click

from tabtools.cli import DONE
from tabtools.cli.output import say
from tabtools.lint import rules
from tabtools.report import explanation


@click.command("explain", short_help="Say what a rule looks for and why, with examples.")
@click.argument("name", metavar="[RULE]", required=False)
@click.option("--all", "everything", is_flag=True, help="Every rule, as one page of Markdown.")
def command(name: str | None, everything: bool) -> int:
    """Say what RULE looks for, why it matters, and show a bad and a good example.

    Without RULE: list the rules with their severity.
    """
    if everything and name:
        raise click.UsageError("give a rule or --all, not both.")
    if everything:
        say(explanation.page(rules.load_all()))
    elif name is None:
        say(explanation.listing(rules.load_all()))
    else:
        if name not in rules.names():
            raise click.UsageError(_unknown(name))
        say(explanation.section(rules.load(name)))
    return DONE


def _unknown(name: str) -> str:
    from difflib import get_close_matches

    close = get_close_matches(name, rules.names(), n=1)
    hint = f" Did you mean {close[0]}?" if close else " tabtools explain lists them."
    return f"there is no rule {name}.{hint}"
