"""The command line: the only part that reads and writes files, prints and exits.

Each command is a module of its own, imported only when it is called.
"""

from __future__ import annotations

import sys
from importlib import import_module
from typing import Any, NoReturn

import click

from tabtools import __version__
from tabtools.cli.output import complain, complain_of

# Exit codes, the same for every command.
DONE = 0  # nothing at or above --fail-from
FINDINGS = 1  # findings; a file that can't be read as tab or MusicXML is one
USAGE = 2  # wrong option or path, or an output that can't be written
FAULT = 3  # our own fault
STOPPED = 130  # interrupted from the keyboard

COMMANDS = (
    "check",
    "compare",
    "convert",
    "course",
    "explain",
    "finger",
    "format",
    "forms",
    "move",
    "nearest",
    "new",
    "palette",
    "serve",
    "sheet",
    "signs",
)


class _Commands(click.Group):
    """Commands return their exit code. Whatever goes wrong ends in one line and a code, never a traceback."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in COMMANDS:
            return None
        command: click.Command = import_module(f"tabtools.cli.{cmd_name}").command
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        if args[0] not in COMMANDS and not args[0].startswith("-"):
            from difflib import get_close_matches

            close = get_close_matches(args[0], COMMANDS, n=1)
            hint = f" Did you mean {close[0]}?" if close else ""
            ctx.fail(f"No such command '{args[0]}'.{hint}")
        return super().resolve_command(ctx, args)

    def main(self, *args: Any, **extra: Any) -> NoReturn:
        sys.exit(self._run(*args, **{**extra, "standalone_mode": False}))

    def _run(self, *args: Any, **extra: Any) -> int:
        try:
            return super().main(*args, **extra) or DONE
        except click.exceptions.NoArgsIsHelpError as error:
            complain(error.format_message())
            return USAGE
        except click.UsageError as error:
            command = error.ctx.command_path if error.ctx else "tabtools"
            complain(f"{command}: {error.format_message()} See {command} --help")
            return USAGE
        except click.ClickException as error:
            complain(f"tabtools: {error.format_message()}")
            return USAGE
        except click.Abort:
            complain("tabtools: stopped")
            return STOPPED
        except OSError as error:
            complain_of(error)
            return USAGE
        except Exception as error:
            words = " ".join(str(error).split())[:200]
            complain(
                f"tabtools: internal error, {type(error).__name__}: {words}. This is a fault of tabtools: "
                "please report it with the command and the file"
            )
            return FAULT


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="tabtools", message="%(prog)s %(version)s")
def main() -> None:
    """Read, check, repair and convert the tab of guitar lessons: text tab and MusicXML.

    Exit code of every command: 0 done, 1 findings or a file that can't be read as tab or MusicXML, 2 wrong
    option or path, 3 a fault of tabtools itself. Findings and results go to standard output, everything
    else to standard error.
    """
