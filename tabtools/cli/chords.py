"""What the commands share that take chords from the command line."""

from __future__ import annotations

from collections.abc import Sequence

import click

from tabtools.instrument import TUNINGS, instrument_from
from tabtools.score import Instrument
from tabtools.theory.chord import Chord, nearest_known, parse_chord

_STANDARD = "standard"

TUNING = click.option(
    "--tuning",
    default=_STANDARD,
    show_default=True,
    help='A tuning ("drop d"), an instrument in its standard tuning ("ukulele"), or the open strings from '
    'the last to the first ("D A D G A D").',
)
CAPO = click.option(
    "--capo", type=click.IntRange(0, 12), default=0, metavar="FRET", help="Where the capo is."
)
OUTPUT_FORMAT = click.option(
    "--report",
    "report_format",
    type=click.Choice(["text", "json"]),
    default="text",
    show_default=True,
    help="Text for people, or JSON for programs.",
)


def chords_from(symbols: Sequence[str]) -> tuple[Chord, ...]:
    """The chords of symbols. Raises UsageError for one that nobody can read, and for N.C."""
    found = []
    for symbol in symbols:
        chord = parse_chord(symbol)
        if chord is None or not chord.quality.degrees:
            close = nearest_known(symbol)
            raise click.UsageError(
                f"{symbol!r} is not a chord symbol" + (f": did you mean {close}?" if close else ".")
            )
        found.append(chord)
    return tuple(found)


def instrument_from_options(tuning: str, capo: int) -> Instrument:
    """The instrument of a tuning's or an instrument's name, or of open strings. Raises UsageError for an
    unknown one."""
    from tabtools.text.page.tuning import read_tuning

    if (wanted := read_tuning(tuning)) is not None:
        return instrument_from(wanted, capo)
    known = sorted({row.names[0] for row in TUNINGS} | {row.instrument.lower() for row in TUNINGS})
    raise click.UsageError(f"no tuning is called {tuning!r}: use {', '.join(known)}.")
