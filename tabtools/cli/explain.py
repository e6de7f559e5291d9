"""``tabtools explain``: what a rule looks for, why, and how to put it right."""

from __future__ import annotations

import click
from click.shell_completion import CompletionItem

from tabtools.cli import DONE
from tabtools.cli.output import say
from tabtools.lint import rules
from tabtools.lint.rule import Rule
from tabtools.report import explanation


def _complete(context: click.Context, option: click.Parameter, start: str) -> list[CompletionItem]:
    return [CompletionItem(name) for name in rules.names() if name.startswith(start)]


@click.command("explain", short_help="Say what a rule looks for and why, with examples.")
@click.argument("name", metavar="[RULE]", required=False, shell_complete=_complete)
@click.option("--all", "everything", is_flag=True, help="Every rule, as one page of Markdown.")
def command(name: str | None, everything: bool) -> int:
    """Say what RULE looks for, why it matters, and show a bad and a good example.

    Without RULE: list the rules with their severity. Rules of plug-ins are among them.
    """
    if everything and name:
        raise click.UsageError("give a rule or --all, not both.")
    if name is not None:
        say(explanation.section(_named(name)))
        return DONE
    from tabtools.cli.plugins import all_rules

    known = all_rules().values()
    say(explanation.page(known) if everything else explanation.listing(known))
    return DONE


def _named(name: str) -> Rule:
    if name in rules.names():
        return rules.load(name)
    from tabtools.cli.plugins import all_rules
    from tabtools.lint.option import closest

    known = all_rules()
    if name not in known:
        close = closest(name, known)
        hint = f"Did you mean {close}?" if close else "tabtools explain lists them."
        raise click.UsageError(f"there is no rule {name}. {hint}")
    return known[name]
