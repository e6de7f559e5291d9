"""What the commands share that write a picture of necks."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import click

from tabtools.cli.files import make_folder_of, write_atomic

if TYPE_CHECKING:
    from tabtools.drawing.shapes import Picture

PICTURE = click.option(
    "-o", "--output", metavar="FILE.svg", help="Draw the neck into this file, in place of the text."
)


def check_picture_name(output: str | None) -> None:
    """Raises UsageError for a picture whose name does not end in .svg."""
    if output is not None and not output.lower().endswith(".svg"):
        raise click.UsageError(f"{output} does not end in .svg, and a picture is written as SVG: name it so.")


def write_necks(output: str, captioned: Sequence[tuple[str, Picture]], title: str) -> None:
    """Write captioned necks as one SVG file. Raises UsageError where there are none, and OSError."""
    from tabtools.drawing.necks import gallery

    if not captioned:
        raise click.UsageError("there is no form or note to draw, so nothing is written.")
    make_folder_of(output)
    write_atomic(output, (gallery(captioned).svg(title) + "\n").encode())
