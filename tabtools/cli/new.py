"""``tabtools new``: an empty page to start a lesson from."""

from __future__ import annotations

import os
import re
from fractions import Fraction
from typing import Any

import click

from tabtools.cli import DONE
from tabtools.cli.chords import CAPO, TUNING, instrument_from_options
from tabtools.cli.files import STDIN, make_folder_of, write_atomic
from tabtools.cli.output import say_bytes
from tabtools.score import Key, Tempo, TimeSignature
from tabtools.text.writing.template import Wish, template
from tabtools.theory.key import parse_key

_GRIDS = {"quarters": 4, "eighths": 8, "sixteenths": 16}


def _time(context: click.Context, option: click.Parameter, value: str) -> TimeSignature:
    match = re.fullmatch(r"([1-9]\d?)/(1|2|4|8|16)", value)
    if match is None:
        raise click.BadParameter(f"{value!r} is not a metre: write it as 4/4 or 6/8.")
    return TimeSignature(int(match[1]), int(match[2]))


def _key(context: click.Context, option: click.Parameter, value: str | None) -> Key | None:
    key = parse_key(value) if value is not None else None
    if value is not None and key is None:
        raise click.BadParameter(f"{value!r} is not a key: write it as G, Am or E dorian.")
    return key


@click.command("new", short_help="An empty page to start a lesson from.")
@click.argument("output", metavar="LESSON")
@click.option("--title", default="", help="What the lesson is called.")
@click.option("--author", default="", help="Who wrote it.")
@click.option("--key", callback=_key, metavar="KEY", help='As in "G", "Am" or "E dorian".')
@click.option("--time", default="4/4", show_default=True, callback=_time, metavar="METRE", help="The metre.")
@click.option("--tempo", type=click.IntRange(20, 400), metavar="BPM", help="Quarter notes a minute.")
@TUNING
@CAPO
@click.option("--bars", type=click.IntRange(1, 400), default=8, show_default=True, help="How many bars.")
@click.option("--per-line", type=click.IntRange(1, 16), default=4, show_default=True, help="Bars in a line.")
@click.option(
    "--grid",
    type=click.Choice(list(_GRIDS)),
    default="eighths",
    show_default=True,
    help="The shortest notes that have a column of their own.",
)
@click.option(
    "--lengths",
    type=click.Choice(["counts", "letters", "none"]),
    default="counts",
    show_default=True,
    help="A line for the rhythm: counts under the strings, or letters over them.",
)
def command(output: str, tempo: int | None, tuning: str, capo: int, grid: str, **fields: Any) -> int:
    """Write an empty page of tab to LESSON, or to standard output for -.

    The page has a header, and systems of empty bars with room for two digits at every step of the grid. The
    tuning says how many strings there are. A file that exists is left alone.
    """
    for name in ("title", "author"):
        fields[name] = " ".join(fields[name].split())
    wish = Wish(
        instrument_from_options(tuning, capo),
        tempo=Tempo(Fraction(tempo)) if tempo else None,
        grid=_GRIDS[grid],
        **fields,
    )
    try:
        page = template(wish)
    except ValueError as error:
        raise click.UsageError(f"{error}.") from None
    _prove(wish, page)
    if output == STDIN:
        say_bytes(page.encode("utf-8"))
        return DONE
    if os.path.exists(output):
        raise click.UsageError(f"{output} exists, and a new page does not replace it: name another file.")
    make_folder_of(output)
    write_atomic(output, page.encode("utf-8"))
    return DONE


def _prove(wish: Wish, page: str) -> None:
    """Raises UsageError where a page is not read as it is meant: a title may say something else."""
    from tabtools.source import Source
    from tabtools.text.reader import read_text

    document = read_text(Source("new", page))
    part = document.score.parts[0]
    meant = (wish.title or None, wish.author or None, wish.instrument.tuning, wish.instrument.capo, wish.bars)
    reads = (
        document.score.title,
        document.score.composer,
        part.instrument.tuning,
        part.instrument.capo,
        len(part.bars),
    )
    if meant != reads or document.doubts:
        raise click.UsageError(
            "this header would be read as something else: use a plainer title, author or tuning."
        )
