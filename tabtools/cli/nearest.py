"""``tabtools nearest``: the forms of a chord that lie nearest to the hand."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from typing import Any

import click

from tabtools.cli import DONE
from tabtools.cli.chords import CAPO, OUTPUT_FORMAT, TUNING, chords_from, instrument_from_options
from tabtools.cli.output import say, say_bytes
from tabtools.cli.pictures import PICTURE, check_picture_name, write_necks
from tabtools.forms.nearest import NearForm, nearest, path
from tabtools.forms.table import QUALITIES
from tabtools.forms.words import form_words, place_words


@click.command("nearest", short_help="The forms of a chord nearest to a fret.")
@click.argument("symbols", metavar="CHORD...", nargs=-1, required=True)
@click.option("--at", type=click.IntRange(0, 24), required=True, metavar="FRET", help="Where the hand is.")
@TUNING
@CAPO
@OUTPUT_FORMAT
@PICTURE
def command(
    symbols: tuple[str, ...], at: int, tuning: str, capo: int, report_format: str, output: str | None
) -> int:
    """The movable forms of a chord, the nearest to FRET first: frets, fingers, and how far the hand moves.

    For several chords also the way through them that moves the hand least. Frets are written from the last
    string to string 1 and count from the capo; x is a string that is not played. The position is the fret of
    the first finger; a barre is said where a finger lies across strings. The distance is that between FRET
    and the form's anchor fret, the fret that takes the place of the nut. Fingers are a proposal, 1 for the
    index finger: stop when a grip hurts, and ask a teacher for another one.
    """
    check_picture_name(output)
    instrument = instrument_from_options(tuning, capo)
    chords = chords_from(symbols)
    try:
        near = [nearest(instrument, chord, at) for chord in chords]
        way = path(instrument, chords, at) if len(chords) > 1 else ()
    except ValueError as error:
        raise click.UsageError(f"{error}.") from None
    if output is not None:
        from tabtools.drawing.necks import near_pictures

        forms = [form for chord_forms in near for form in chord_forms]
        write_necks(output, list(near_pictures(instrument, forms)), f"{' '.join(symbols)} near fret {at}")
    elif report_format == "json":
        say_bytes(_json(at, near, way).encode("utf-8"))
    else:
        say("\n".join(_text(at, near, way)) + "\n")
    return DONE


def _text(at: int, near: Sequence[Sequence[NearForm]], way: Sequence[NearForm]) -> Iterator[str]:
    for forms in near:
        first = forms[0]
        less = "" if first.exact else f", as {QUALITIES[first.quality] or 'a plain triad'}"
        yield f"{first.symbol} near fret {at}{less}"
        yield from _rows(forms)
        yield ""
    if way:
        total = sum(form.distance for form in way)
        yield f"The way with the least movement, {total} fret{'' if total == 1 else 's'} in all"
        yield from _rows(way, symbols=True)


def _rows(forms: Sequence[NearForm], *, symbols: bool = False) -> Iterator[str]:
    for form in forms:
        name = f"{form_words(form.form, form.quality)}, {place_words(form.position)}"
        moved = f"{form.distance} fret{'' if form.distance == 1 else 's'} away"
        symbol = f"{form.symbol:<7}" if symbols else ""
        fingers = _signs(form.fingers, "-") if form.fingers else "no hand holds it"
        barre = f", barre at fret {form.barre_fret}" if form.barre_fret is not None else ""
        frets = _signs(form.frets, "x")
        yield f"  {symbol}{name:<27}  frets {frets:<18}  fingers {fingers:<12}  {moved}{barre}"


def _signs(numbers: Sequence[int | None], nothing: str) -> str:
    return " ".join(nothing if number is None else str(number) for number in numbers)


def _json(at: int, near: Sequence[Sequence[NearForm]], way: Sequence[NearForm]) -> str:
    whole = {
        "format": "tabtools-nearest",
        "version": 2,
        "at": at,
        "chords": [{"symbol": forms[0].symbol, "forms": [_object(form) for form in forms]} for forms in near],
        "path": [_object(form) for form in way],
    }
    return json.dumps(whole, indent=2, ensure_ascii=False) + "\n"


def _object(form: NearForm) -> dict[str, Any]:
    return form._asdict()
