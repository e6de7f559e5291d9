"""``tabtools convert``: one format to another."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterable
from fractions import Fraction
from functools import partial

import click

from tabtools.cli import DONE, USAGE
from tabtools.cli.files import (
    MAX_MEGABYTES,
    SUFFIXES,
    Input,
    below,
    discover,
    make_folder_of,
    refuse_inputs,
    write_atomic,
)
from tabtools.cli.load import failure
from tabtools.cli.output import complain, complain_of, say_bytes
from tabtools.cli.reporting import exit_code, show
from tabtools.document import Defaults, Document
from tabtools.interop.formats import format_by_content
from tabtools.lint.finding import FileFindings
from tabtools.preparing import Wishes, prepared
from tabtools.reading import read
from tabtools.score import Score
from tabtools.source import Source, UnreadableError

STDOUT = "-"
PACKAGE = "mxl"
# So many lines are named where words are left behind.
_MOST_LINES = 8


def _midi(document: Document, speed: Fraction = Fraction(1), count_in: int = 0) -> bytes:
    from tabtools.midi.losses import midi_losses
    from tabtools.midi.performance import Playing
    from tabtools.midi.writing import write_midi

    if lost := midi_losses(document.score):
        complain(f"{document.source.name}: MIDI can't hold all of it: {', '.join(lost)} left out")
    return write_midi(document.score, Playing(speed, count_in))


def _tell_unheld(document: Document) -> None:
    """Say what a MusicXML file has that the result has no place for."""
    if document.located is None:
        return
    from tabtools.musicxml.account import unheld

    counts = unheld(document.located)
    if counts:
        named = ", ".join(f"{name} ({count})" for name, count in sorted(counts.items()))
        complain(f"{document.source.name}: left behind, for the result has no place for them: {named}")


def _text(document: Document) -> bytes:
    from tabtools.text.writing.losses import left_out, losses
    from tabtools.text.writing.writer import write_text

    text = write_text(document.score)
    if missing := left_out(document.score):
        complain(f"{document.source.name}: {missing}")
    lost = losses(document.score, text)
    if lost:
        complain(f"{document.source.name}: text tab can't hold all of it: {', '.join(lost)} read otherwise")
    return text.encode("utf-8", "backslashreplace")


def _musicxml(document: Document) -> bytes:
    if document.tree is not None:
        # It is MusicXML already: what this program does not understand must not get lost.
        return document.source.encode(document.source.text)
    from tabtools.musicxml.writer import write_musicxml
    from tabtools.theory.respelling import respell

    # Text tab names no notes; other formats do, and are followed.
    return write_musicxml(respell(document.score) if document.page else document.score)


def _json(document: Document) -> bytes:
    from tabtools.dump import dump_score
    from tabtools.lint.engine import check
    from tabtools.lint.rules import load_all

    return dump_score(document, check(document, load_all())).encode("utf-8", "backslashreplace")


Writer = Callable[[Document], bytes]
# Each format: how it is written, and the suffixes that ask for it, first one for new files.
FORMATS: dict[str, tuple[Writer, tuple[str, ...]]] = {
    "musicxml": (_musicxml, (".musicxml", ".xml")),
    PACKAGE: (_musicxml, (".mxl",)),  # and then packed
    "json": (_json, (".json",)),
    "text": (_text, (".txt", ".tab")),
    "midi": (_midi, (".mid", ".midi")),
}


class _Percent(click.ParamType[Fraction]):
    """A share of a tempo, given in percent."""

    name = "percent"

    def convert(
        self, value: str | Fraction, param: click.Parameter | None, ctx: click.Context | None
    ) -> Fraction:
        if isinstance(value, Fraction):
            return value
        number = value.removesuffix("%")
        if not number.isdecimal() or not 5 <= int(number) <= 400:
            self.fail(f"{value} is no share of a tempo: give 5% to 400%.", param, ctx)
        return Fraction(int(number), 100)


@click.command("convert", short_help="Text tab to MusicXML and back, to MIDI or to JSON.")
@click.argument("inputs", metavar="IN...", nargs=-1, required=True)
@click.option("-o", "--output", metavar="OUT", help="The file to write; - for standard output.")
@click.option("--out-dir", metavar="DIR", help="Write each result into this directory, named like its input.")
@click.option("--to", "target", type=click.Choice(list(FORMATS)), help="The format, unless OUT ends in it.")
@click.option("--both-staves", is_flag=True, help="Give each part the staff it lacks: tab, or notation.")
@click.option("--fit-octave", is_flag=True, help="Move parts without tab by octaves to fit the instrument.")
@click.option("--hold", is_flag=True, help="Write notes that are let ring as long as they sound.")
@click.option(
    "--show", "shown", type=click.Choice(["forms"]), help="Write the name of every chord form over the notes."
)
@click.option("--tempo", "speed", type=_Percent(), help="Play MIDI at this share of its tempo, such as 60%.")
@click.option("--count-in", type=click.IntRange(0, 8), help="Count so many bars in before MIDI plays.")
@MAX_MEGABYTES
def command(
    inputs: tuple[str, ...],
    output: str | None,
    out_dir: str | None,
    target: str | None,
    both_staves: bool,
    fit_octave: bool,
    hold: bool,
    shown: str | None,
    speed: Fraction | None,
    count_in: int | None,
    limit: int,
) -> int:
    """Convert text tab and MusicXML: into each other, to MIDI, or to JSON for scripts.

    IN is a file, a directory or - for standard input; MIDI, ABC, Humdrum, MEI and more are read too. One
    input goes to OUT, whose suffix says the format (.musicxml, .mxl, .json, .txt, .tab, .mid); any number go
    to DIR in the format of --to. MusicXML that stays MusicXML keeps all that it holds; what is certainly
    wrong in it is repaired, and each repair is told on standard error. A result replaces the
    file that it names, whole or not at all. An input that can't be read is reported, the others are still
    converted, and the exit code is 1. The report goes to standard output, or to standard error where the
    result itself goes to standard output; standard error also names files that were not read without doubt,
    and what text tab can't hold.
    """
    kind = _format(output, out_dir, target)
    write = _writer(kind, speed, count_in)
    jobs = _jobs(discover(inputs, limit=limit), output, out_dir, FORMATS[kind][1][0])
    refuse_inputs([path for _, path in jobs if path], [entry for entry, _ in jobs])
    if out_dir is not None:
        _check_inside(out_dir, [path for _, path in jobs if path])
    failed, code = [], DONE
    wishes = Wishes(kind == "text", both_staves, fit_octave, hold)
    for entry, path in jobs:
        try:
            problem = _convert(entry, path, kind, write, wishes, forms=shown == "forms")
        except OSError as error:
            complain_of(error)
            code = USAGE
            continue
        if problem is not None:
            failed.append(problem)
    if failed:
        show(failed, to_stderr=output == STDOUT)
    return max(code, exit_code(failed))


def _writer(kind: str, speed: Fraction | None, count_in: int | None) -> Writer:
    """What writes a format, for MIDI as it is to be played."""
    if speed is None and count_in is None:
        return FORMATS[kind][0]
    if kind != "midi":
        raise click.UsageError(f"--tempo and --count-in are for MIDI, and the result is {kind}.")
    return partial(_midi, speed=speed or Fraction(1), count_in=count_in or 0)


def _with_forms(document: Document) -> Document:
    """The document with the forms named: in its score, and for MusicXML in its own text."""
    from tabtools.forms.annotate import form_words, with_form_words

    source = document.source
    if document.located is not None:
        from tabtools.musicxml.words import insert_words

        source = source._replace(text=insert_words(document.located, form_words(document.score)))
    return document._replace(source=source, score=with_form_words(document.score))


def _format(output: str | None, out_dir: str | None, target: str | None) -> str:
    if (output is None) == (out_dir is None):
        raise click.UsageError("say where to write: -o OUT for one input, or --out-dir DIR.")
    if target:
        return target
    suffix = os.path.splitext(output or "")[1].lower()
    for name, (_, suffixes) in FORMATS.items():
        if suffix in suffixes:
            return name
    unknown = f"{output} does not end as any format's files do: " if suffix else ""
    raise click.UsageError(f"{unknown}give the format with --to {'|'.join(FORMATS)}.")


def _jobs(
    entries: list[Input], output: str | None, out_dir: str | None, suffix: str
) -> list[tuple[Input, str | None]]:
    """Each input with the file that its result goes to, None for standard output."""
    if output is not None:
        if len(entries) != 1:
            raise click.UsageError(f"-o takes one input and there are {len(entries)}: use --out-dir.")
        return [(entries[0], None if output == STDOUT else output)]
    jobs: dict[str, Input] = {}
    for entry in entries:
        path = os.path.join(out_dir or "", os.path.splitext(entry.relative)[0] + suffix)
        if path in jobs:
            raise click.UsageError(f"{jobs[path].name} and {entry.name} would both be written to {path}.")
        jobs[path] = entry
    return [(entry, path) for path, entry in jobs.items()]


def _check_inside(directory: str, paths: Iterable[str]) -> None:
    """Raises UsageError for a result that a link in the directory would put elsewhere."""
    top = os.path.realpath(directory)
    for path in paths:
        if below(os.path.realpath(path), top) is None:
            raise click.UsageError(f"{path} is or lies behind a link that leads out of {directory}.")


def _tell_left_behind(document: Document) -> None:
    """Say which words of a text page no score holds."""
    from tabtools.text.account import left_behind

    assert document.page is not None
    if lines := left_behind(document.page):
        numbers = ", ".join(str(line.number) for line in lines[:_MOST_LINES])
        more = " …" if len(lines) > _MOST_LINES else ""
        words = "line of words stays" if len(lines) == 1 else "lines of words stay"
        complain(f"{document.source.name}: {len(lines)} {words} on the page: line {numbers}{more}")


def _load(entry: Input) -> Document:
    """The document of an input, in whatever format. Raises UnreadableError and OSError."""
    data = entry.read()
    kind = format_by_content(data)
    if kind is None:
        try:
            return read(entry.name, data, Defaults(max_bytes=entry.limit))
        except UnreadableError:
            if entry.name.lower().endswith(SUFFIXES) or entry.path is None:
                raise
            from tabtools.interop.files import format_by_suffix

            kind = format_by_suffix(entry.name)
            if kind is None:
                raise
    if kind == "midi":
        return Document(Source(entry.name, ""), _read_midi(entry.name, data))
    from tabtools.interop.files import read_foreign

    return Document(Source(entry.name, ""), read_foreign(data, kind))


def _read_midi(name: str, data: bytes) -> Score:
    from tabtools.midi.reading import read_midi

    reading = read_midi(data)
    for remark in reading.remarks:
        complain(f"{name}: {remark}")
    return reading.score


def _convert(
    entry: Input, path: str | None, kind: str, write: Writer, wishes: Wishes, *, forms: bool
) -> FileFindings | None:
    part = "reading the file"
    try:
        document = _load(entry)
        part = "writing the result"
        document, remarks = prepared(document, wishes)
        for remark in remarks:
            complain(f"{entry.name}: {remark}")
        if kind not in ("musicxml", PACKAGE):
            _tell_unheld(document)
        data = write(_with_forms(document) if forms else document)
        if kind == PACKAGE:
            data = entry.packed(data)
    except OSError:
        raise
    except Exception as error:
        return failure(entry.name, error, part)
    if document.page is not None and kind != "text":
        _tell_left_behind(document)
    if document.doubts:
        places = f"{len(document.doubts)} place{'' if len(document.doubts) == 1 else 's'}"
        complain(f"{entry.name}: read with doubts in {places}: tabtools check {entry.name} shows them")
    if path is None:
        say_bytes(data)
    else:
        make_folder_of(path)
        write_atomic(path, data)
    return None
