"""``tabtools signs``: the signs that text tab may use."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from itertools import groupby

import click

from tabtools.cli import DONE
from tabtools.cli.output import say, say_bytes
from tabtools.text.writing.signs import Sign, signs


@click.command("signs", short_help="The signs that text tab may use.")
@click.option(
    "--report",
    "report_format",
    type=click.Choice(["text", "markdown", "json"]),
    default="text",
    show_default=True,
    help="Text for people, a Markdown table, or JSON for programs.",
)
def command(report_format: str) -> int:
    """The signs that text tab may use, each with an example and the other ways to type it that are read."""
    listed = signs()
    if report_format == "json":
        say_bytes(_json(listed).encode("utf-8"))
    else:
        lines = _markdown(listed) if report_format == "markdown" else _text(listed)
        say("\n".join(lines) + "\n")
    return DONE


def _text(listed: Sequence[Sign]) -> Iterator[str]:
    for number, (stands, group) in enumerate(groupby(listed, key=lambda sign: sign.stands)):
        if number:
            yield ""
        yield stands.capitalize()
        for sign in group:
            also = f"; also {'  '.join(sign.also)}" if sign.also else ""
            yield f"  {sign.example:<14}{sign.says}{also}"


def _markdown(listed: Sequence[Sign]) -> Iterator[str]:
    yield "| sign | says | stands | also read |"
    yield "| --- | --- | --- | --- |"
    for sign in listed:
        also = " ".join(map(_code, sign.also))
        yield f"| {_code(sign.example)} | {sign.says} | {sign.stands} | {also} |"


def _code(sign: str) -> str:
    """A sign as code in the cell of a table, where a stroke would end the cell."""
    return f"`{sign}`".replace("|", "\\|")


def _json(listed: Sequence[Sign]) -> str:
    data = {"format": "tabtools-signs", "version": 1, "signs": [sign._asdict() for sign in listed]}
    return json.dumps(data, indent=2, ensure_ascii=False) + "\n"
