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


def say(text: str) -> None:
    """Text for people to standard output; what its encoding lacks is written as an escape."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="backslashreplace")
    try:
        click.echo(text, nl=False)
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
        click.echo(text, err=True)


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
