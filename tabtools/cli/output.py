"""Standard output and standard error."""

from __future__ import annotations

import contextlib
import io
import os
import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from tabtools.source import Source


def say(text: str, *, coloured: bool = False) -> None:
    """Text for people to standard output; what its encoding lacks, and what a terminal would obey, is written
    as an escape. ``coloured`` text has colour codes of ours and nothing else of the kind."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="backslashreplace")
    try:
        click.echo(text if coloured else _harmless(text), nl=False)
    except BrokenPipeError:
        _stop_output()


def say_bytes(data: bytes) -> None:
    """A result to standard output, byte for byte."""
    try:
        sys.stdout.buffer.write(data)
        sys.stdout.buffer.flush()
    except BrokenPipeError:
        _stop_output()


def complain(text: str) -> None:
    """A line to standard error."""
    with contextlib.suppress(BrokenPipeError):
        click.echo(_harmless(text), err=True)


def _harmless(text: str) -> str:
    from tabtools.report.plain import harmless

    return harmless(text)


def complain_of(error: OSError) -> None:
    """A line to standard error about a file that can't be read or written."""
    complain(f"tabtools: {error.filename or 'input or output'}: {error.strerror or error}")


def diff(source: Source, text: str) -> Iterator[str]:
    """The lines of a unified diff between a file and a new text of it."""
    from difflib import unified_diff

    before, after = (whole.splitlines(keepends=True) for whole in (source.text, text))
    for line in unified_diff(before, after, source.name, source.name):
        yield line if line.endswith(("\n", "\r")) else f"{line}\n\\ no line end at the end of the file\n"


def wants_colour() -> bool:
    """Whether standard output is a terminal whose user has not said NO_COLOR."""
    return sys.stdout.isatty() and not os.environ.get("NO_COLOR")


def _stop_output() -> None:
    """Nobody reads on, as behind ``| head``: the work goes on in silence, so that the exit code is right."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
