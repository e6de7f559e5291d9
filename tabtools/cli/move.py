"""``tabtools move``: a phrase in another key, form or position, on another tuning or instrument."""

from __future__ import annotations

import os
import re
from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import click

from tabtools.cli import DONE, FINDINGS
from tabtools.cli.chords import instrument_from_options
from tabtools.cli.files import MAX_MEGABYTES, STDIN, Input, discover, make_folder_of, write_atomic
from tabtools.cli.load import load_or_report
from tabtools.cli.output import complain, say, say_bytes
from tabtools.cli.reporting import exit_code, show
from tabtools.document import Document
from tabtools.forms.table import FORMS
from tabtools.lint.finding import FileFindings
from tabtools.record import NamedTuple
from tabtools.score import Instrument, Key, Part
from tabtools.theory.key import parse_key

if TYPE_CHECKING:
    from tabtools.phrases.names import Interval
    from tabtools.phrases.wish import Told, Wish

_BARS = re.compile(r"(\d+)(?:-(\d+))?")
# Round the circle of fifths, which all keys lie on. Common practice.
_CIRCLE = ("C", "G", "D", "A", "E", "B", "F#", "Db", "Ab", "Eb", "Bb", "F")


class _Asked(NamedTuple):
    """What the command line says about one move; ``name`` is what tells it from others of one call."""

    to_key: str | None
    by: int | None
    octave: str | None
    to_form: str | None
    to_position: int | None
    tuning: str | None
    capo: int | None
    bars: str | None
    part: str | None
    hand: str
    name: str = ""


class _Result(NamedTuple):
    """The new file, or None where the move was refused; ``notes`` are for the user."""

    data: bytes | None
    notes: tuple[str, ...]


def _form(context: click.Context, option: click.Parameter, value: str | None) -> str | None:
    letter = value.strip()[:1].upper() if value else None
    if value is not None and (letter not in FORMS or value.strip()[1:].strip().lower() not in ("", "form")):
        raise click.BadParameter(f"{value!r} is no form: use {', '.join(FORMS)}.")
    return letter


@click.command("move", short_help="A phrase in another key, form or position.")
@click.argument("name", metavar="LESSON")
@click.option(
    "-o", "--output", metavar="OUT", default=STDIN, help="The file to write; standard output without."
)
@click.option("--to-key", metavar="KEY", help="The key to move to; the mode stays.")
@click.option("--by", type=click.IntRange(-24, 24), metavar="SEMITONES", help="Semitones, down with a minus.")
@click.option("--octave", type=click.Choice(["up", "down"]), help="An octave higher or lower.")
@click.option(
    "--to-form", callback=_form, metavar="FORM", help='The movable form to play in, as in "A form".'
)
@click.option("--to-position", type=click.IntRange(1, 19), metavar="FRET", help="The position to play in.")
@click.option("--tuning", metavar="TUNING", help='Another tuning ("drop d") or instrument ("ukulele").')
@click.option("--capo", type=click.IntRange(0, 12), metavar="FRET", help="Another place for the capo.")
@click.option("--bars", metavar="FIRST-LAST", help="Only these bars move.")
@click.option("--part", metavar="NAME", help="Only this part moves.")
@click.option(
    "--hand",
    type=click.Choice(["small", "medium", "large"]),
    default="medium",
    show_default=True,
    help="The hand's size.",
)
@click.option(
    "--each",
    type=click.Choice(["forms", "keys"]),
    help="One lesson for each movable form, or for each key round the circle of fifths.",
)
@click.option("--out-dir", metavar="DIR", help="Where --each writes its lessons.")
@MAX_MEGABYTES
def command(
    name: str, output: str, each: str | None, out_dir: str | None, limit: int, **asked: object
) -> int:
    """Move the phrases of LESSON to another key, form, position, tuning or instrument.

    Text tab stays text tab: its words, layout, chords, form names and header move along. Every note keeps its
    length, its techniques and what it is in its chord; it stays on its string where it can. Without a new key
    or --by the pitches stay, but for octaves. A bar that can't move is named with the nearest move that can,
    and then nothing is written. What should be read again is told on standard error. Behind a capo, chords
    and key are taken as those of the shapes.

    The limits of a hand are typical ones and hands differ: stop when it hurts, and ask a teacher.
    """
    wanted = _Asked(**asked)  # type: ignore[arg-type]
    if not each and all(value is None for value in wanted[:7]):
        raise click.UsageError(
            "say where to move it: --to-key, --by, --octave, --to-form, --to-position, --tuning or --capo."
        )
    if (each is None) != (out_dir is None):
        raise click.UsageError("--each and --out-dir go together.")
    entries = discover([name], limit=limit)
    if len(entries) != 1:
        raise click.UsageError(f"{name} holds {len(entries)} files: name one.")
    document = load_or_report(entries[0])
    if isinstance(document, FileFindings):
        show([document])
        return exit_code([document])
    if each and out_dir:
        return _each(document, entries[0], wanted, each, out_dir)
    result = _moved(document, wanted)
    _tell(entries[0], result)
    if result.data is None:
        return FINDINGS
    _write(output, result.data, entries[0])
    return DONE


def _each(document: Document, entry: Input, asked: _Asked, each: str, out_dir: str) -> int:
    """A lesson for each form or key; the ones that can't be are told."""
    stem, suffix = os.path.splitext(entry.relative)
    variants = (
        [asked._replace(to_form=form, name=f"{form}-form") for form in FORMS]
        if each == "forms"
        else [asked._replace(to_key=key, name=f"in-{key.replace('#', '-sharp')}") for key in _CIRCLE]
    )
    done = 0
    for variant in variants:
        result = _moved(document, variant)
        _tell(entry, result, f" {variant.name}")
        if result.data is not None:
            _write(
                os.path.join(out_dir, f"{os.path.basename(stem)}-{variant.name}{suffix}"), result.data, entry
            )
            done += 1
    complain(f"{done} of {len(variants)} lessons written to {out_dir}")
    return DONE if done == len(variants) else FINDINGS


def _tell(entry: Input, result: _Result, variant: str = "") -> None:
    for words in result.notes:
        if result.data is None:
            say(f"{entry.name}:{variant} {words}\n")
        else:
            complain(f"{entry.name}:{variant} {words}")


def _write(output: str, data: bytes, entry: Input) -> None:
    if output == STDIN:
        say_bytes(data)
        return
    if output.lower().endswith(".mxl"):
        data = entry.packed(data)
    make_folder_of(output)
    write_atomic(output, data)


def _moved(document: Document, asked: _Asked) -> _Result:
    """The lesson moved by the first of the ways that can be: the near octave, then the other one."""
    from tabtools.phrases.moving import move
    from tabtools.phrases.names import UNISON

    if document.tree is not None:
        raise click.UsageError("only text tab can be moved: turn it into text with tabtools convert first.")
    first: tuple[Told, ...] = ()
    for interval in _intervals(document, asked) or [UNISON]:
        moved = move(document.score, _wish(document, asked, interval))
        if not moved.refused:
            from tabtools.phrases.page import written

            result = written(document.source, document.score, moved)
            if result.text is None:
                return _Result(None, _words(document, result.refused))
            notes = (*moved.told, *result.told)
            return _Result(document.source.encode(result.text), _words(document, notes))
        first = first or moved.refused
    return _Result(None, _words(document, first))


def _words(document: Document, told: Sequence[Told]) -> tuple[str, ...]:
    """Remarks in words; the part is named where there are several."""
    parts = document.score.parts
    several = len(parts) > 1
    return tuple(f"{parts[t.part].name}, {t.words}" if several and t.bar else t.words for t in told)


def _intervals(document: Document, asked: _Asked) -> list[Interval]:
    """The intervals to try, best first. Raises UsageError where they can't be known."""
    from tabtools.phrases.names import interval_by, interval_to

    key = _key(document.score.parts, asked.part)
    octave = {"up": 12, "down": -12, None: 0}[asked.octave]
    if asked.to_key is None:
        semitones = (asked.by or 0) + octave
        return [interval_by(semitones, key)] if semitones else []
    target = parse_key(asked.to_key)
    if target is None or asked.by is not None:
        raise click.UsageError(
            f"--to-key takes a key such as A or F# minor, without --by: not {asked.to_key!r}."
        )
    if key is None:
        raise click.UsageError(f"{document.source.name} names no key: say how far with --by.")
    near = interval_to(key, target)
    ways = (
        [near.semitones] if octave else [near.semitones, near.semitones + (12 if near.semitones < 0 else -12)]
    )
    return [near._replace(semitones=way + octave) for way in ways]


def _key(parts: Sequence[Part], name: str | None) -> Key | None:
    bars = (bar for part in parts if name in (None, part.name) for bar in part.bars)
    return next((bar.key for bar in bars if bar.key), None)


def _wish(document: Document, asked: _Asked, interval: Interval) -> Wish:
    from tabtools.phrases.wish import Wish

    parts = document.score.parts
    number = None
    if asked.part is not None:
        number = next((n for n, part in enumerate(parts) if part.name == asked.part), None)
        if number is None:
            raise click.UsageError(
                f"no part is called {asked.part!r}: use {', '.join(p.name for p in parts)}."
            )
    bars = frozenset(_numbers(asked.bars, parts))
    instrument = _instrument(asked, parts[number or 0].instrument)
    if instrument is not None and (bars or len(parts) > 1):
        raise click.UsageError("another tuning, capo or instrument is for a whole lesson of one part.")
    return Wish(interval, asked.to_form, asked.to_position, instrument, bars, number, asked.hand)


def _numbers(text: str | None, parts: Sequence[Part]) -> Iterator[int]:
    if text is None:
        return
    match = _BARS.fullmatch(text)
    known = {bar.number for part in parts for bar in part.bars}
    first, last = (int(match[1]), int(match[2] or match[1])) if match else (0, 0)
    if first not in known or last not in known or first > last:
        raise click.UsageError(
            f"--bars takes bars such as 3-6, out of 1 to {max(known, default=0)}: not {text!r}."
        )
    yield from range(first, last + 1)


def _instrument(asked: _Asked, now: Instrument) -> Instrument | None:
    """The new instrument; None where nothing of it changes."""
    if asked.tuning is None and asked.capo is None:
        return None
    capo = now.capo if asked.capo is None else asked.capo
    if asked.tuning is None:
        return now._replace(capo=capo)
    found = instrument_from_options(asked.tuning, capo)
    same = found.name == now.name
    return found._replace(frets=now.frets, scale_length=now.scale_length) if same else found
