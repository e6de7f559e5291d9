"""``tabtools palette``: which notes the chords bring that a scale lacks."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

import click

from tabtools.cli import DONE
from tabtools.cli.chords import CAPO, OUTPUT_FORMAT, TUNING, chords_from, instrument_from_options
from tabtools.cli.output import say, say_bytes
from tabtools.cli.pictures import PICTURE, check_picture_name, write_necks
from tabtools.forms.neck import neck
from tabtools.forms.palette import Colour, Palette, palette
from tabtools.theory.chord import degree_words
from tabtools.theory.key import parse_key


@click.command("palette", short_help="Which notes the chords bring that a scale lacks.")
@click.argument("symbols", metavar="CHORD...", nargs=-1, required=True)
@click.option("--key", "key_name", required=True, metavar="KEY", help='As in "G", "Am" or "E dorian".')
@click.option(
    "--scale",
    default="pentatonic",
    show_default=True,
    help='"pentatonic" and "blues" follow the key; or a full name such as "minor blues".',
)
@click.option(
    "--at",
    type=click.IntRange(0, 24),
    default=0,
    show_default=True,
    metavar="FRET",
    help="Where the hand is.",
)
@TUNING
@CAPO
@OUTPUT_FORMAT
@PICTURE
def command(
    symbols: tuple[str, ...],
    key_name: str,
    scale: str,
    at: int,
    tuning: str,
    capo: int,
    report_format: str,
    output: str | None,
) -> int:
    """Which notes the chords bring that a scale lacks, over which chord each is at home, and where it lies.

    These are the colours that make a solo follow its chords. Places are given near FRET, as string:fret;
    frets count from the capo, chords and key are those that sound.
    """
    check_picture_name(output)
    key = parse_key(key_name)
    if key is None:
        raise click.UsageError(f"{key_name!r} is not a key: write it as G, Am or E dorian.")
    instrument = instrument_from_options(tuning, capo)
    chords = chords_from(symbols)
    try:
        found = palette(neck(instrument), key, scale, chords, at)
    except ValueError as error:
        raise click.UsageError(f"{error}.") from None
    if output is not None:
        from tabtools.drawing.necks import palette_picture

        title = f"{found.notes[0]} {found.scale}: what {' '.join(symbols)} add near fret {at}"
        places = [(title, palette_picture(instrument, found))] if found.colours else []
        write_necks(output, places, title)
    elif report_format == "json":
        say_bytes(_json(key.name, found, at).encode("utf-8"))
    else:
        say("\n".join(_text(found, at)) + "\n")
    return DONE


def _text(found: Palette, at: int) -> Iterator[str]:
    yield f"{found.notes[0]} {found.scale}: {' '.join(found.notes)}"
    if not found.colours:
        yield "The chords bring no note that it lacks."
    for colour in found.colours:
        homes = ", ".join(f"the {role} of {symbol}" for symbol, role in colour.homes)
        yield f"{colour.note:<3} {_degree(colour)} of the key; at home as {homes}"
        places = ", ".join(f"{string}:{fret}" for string, fret in colour.places)
        yield f"    near fret {at} (string:fret): {places or 'none within reach'}"


def _degree(colour: Colour) -> str:
    return f"the {degree_words(colour.degree)}"


def _json(key: str, found: Palette, at: int) -> str:
    whole: dict[str, Any] = {
        "format": "tabtools-palette",
        "version": 1,
        "key": key,
        "scale": found.scale,
        "notes": list(found.notes),
        "at": at,
        "colours": [
            {
                "note": colour.note,
                "degree": colour.degree,
                "at_home": [{"chord": symbol, "role": role} for symbol, role in colour.homes],
                "places": [{"string": string, "fret": fret} for string, fret in colour.places],
            }
            for colour in found.colours
        ],
    }
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"
