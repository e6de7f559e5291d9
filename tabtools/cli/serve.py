"""``tabtools serve``: the language server, for editors."""

from __future__ import annotations

import click

from tabtools.cli import DONE
from tabtools.cli.load import check_data
from tabtools.cli.plugins import all_rules
from tabtools.cli.run import by_itself
from tabtools.cli.settings import Settings
from tabtools.config import Resolved


@click.command("serve", short_help="Findings, repairs and layout while typing, for editors.")
def command() -> int:
    """Serve an editor that speaks the Language Server Protocol, over standard input and output.

    Name this command where the editor asks for a language server for .txt, .tab and .musicxml files. It shows
    what tabtools check finds, offers the repairs, lays pages out, and says what stands under the cursor.
    Needs the packages of the extra ``editor``: pip install 'tabtools[editor]'.
    """
    try:
        from tabtools.editor.page import Tool
        from tabtools.editor.server import make_server
    except ModuleNotFoundError as error:
        raise click.ClickException(
            f"serve needs {error.name}: install it with pip install 'tabtools[editor]'."
        ) from None
    from tabtools.reading import read
    from tabtools.report.explanation import section

    rules = all_rules()

    def tool() -> Tool:
        settings = Settings(rules)

        def resolved(name: str) -> Resolved:
            return by_itself(settings.of(name))

        return Tool(
            lambda name, data: check_data(name, data, resolved(name)).file,
            lambda name, data: check_data(name, data, resolved(name), "safe").text,
            lambda name, data: read(name, data, resolved(name).defaults),
        )

    server = make_server(tool, lambda name: section(rules[name]) if name in rules else None)
    server.start_io()
    return DONE
