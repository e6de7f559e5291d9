"""``tabtools sheet``: lessons as pages to read, print and play along with."""

from __future__ import annotations

import os
from base64 import b64encode
from collections.abc import Iterator, Sequence
from importlib.util import find_spec
from pathlib import PurePath

import click

from tabtools.cli.files import MAX_MEGABYTES, Input, discover, make_folder_of, write_atomic
from tabtools.cli.load import failure
from tabtools.cli.output import complain, say_bytes
from tabtools.cli.reporting import exit_code, show
from tabtools.cli.run import CHUNK, progress
from tabtools.cli.sheeting import PAGE, PAPER, PICTURE, Made, Wish, card_in, make, stamp
from tabtools.lint.finding import FileFindings
from tabtools.record import NamedTuple
from tabtools.source import UnreadableError

STDOUT = "-"
INDEX = "index.html"
MANY = 4  # from so many sheets on several processes pay


class _Job(NamedTuple):
    """A sheet to make: from which input, into which file, None for standard output."""

    entry: Input
    path: str | None
    data: bytes
    mark: str


@click.command("sheet", short_help="A lesson as a page to read, print and play along with.")
@click.argument("inputs", metavar="LESSON...", nargs=-1, required=True)
@click.option(
    "-o", "--output", metavar="OUT", help="The file to write: .html, .pdf or .svg; - for standard output."
)
@click.option(
    "--out-dir", metavar="DIR", help="Write a sheet for each lesson into this directory, and an index."
)
@click.option(
    "--to", "kind", type=click.Choice([PAGE, PAPER, PICTURE]), help="The format, unless OUT ends in it."
)
@click.option(
    "--staves",
    type=click.Choice(["both", "notation", "tab"]),
    default="both",
    show_default=True,
    help="What the music is written in.",
)
@click.option("--left-handed", is_flag=True, help="Draw necks for a left-handed player.")
@click.option("--why", is_flag=True, help="Print the table of all notes and why they fit.")
@click.option("--draft", is_flag=True, help="Print errors and warnings, for the author.")
@click.option(
    "--paper", type=click.Choice(["a4", "letter"]), default="a4", show_default=True, help="Of a PDF."
)
@click.option("--audio", metavar="FILE", help="Your own recording, to play passages from; it stays a file.")
@click.option("--embed-audio", is_flag=True, help="Put the recording into the page.")
@MAX_MEGABYTES
def command(
    inputs: tuple[str, ...],
    output: str | None,
    out_dir: str | None,
    kind: str | None,
    audio: str | None,
    embed_audio: bool,
    limit: int,
    **look: object,
) -> int:
    """Make sheets of lessons: the text, notation and tab together, the forms on the neck, why each note fits,
    and in a page a player that goes slowly. As SVG, text and music are one picture.

    LESSON is text tab or MusicXML, a directory of them, or - for standard input. A page is one file that
    needs no network. With --out-dir all lessons get their sheets and an index.html; a sheet whose lesson and
    options have not changed is not made again. Passages with a time such as 0:42 in their name or in the line
    before them play from the recording that --audio names.

    A lesson that can't be read gets no sheet: it is reported, the others are made, and the exit code is 1.
    """
    _check_parts()
    if (output is None) == (out_dir is None):
        raise click.UsageError("say where to write: -o OUT for one lesson, or --out-dir DIR.")
    kind = kind or _kind_of(output)
    if audio is not None and kind != PAGE:
        raise click.UsageError("--audio is for pages: no other sheet plays.")
    entries = discover(inputs, limit=limit)
    if output is not None and len(entries) != 1:
        raise click.UsageError(f"-o takes one lesson and there are {len(entries)}: use --out-dir.")
    recording = _recording(audio, output or os.path.join(out_dir or "", INDEX), embed_audio)
    wish = Wish(kind, recording=recording, **look)  # type: ignore[arg-type]
    return _make_all(entries, output, out_dir, wish)


def _check_parts() -> None:
    missing = [name for name in ("verovio", "typst") if find_spec(name) is None]
    if missing:
        raise click.UsageError(
            f"sheets are made with verovio and typst, and {' and '.join(missing)} can't be found: "
            "pip install 'tabtools[sheet]'."
        )


def _kind_of(output: str | None) -> str:
    if output is None:
        return PAGE
    suffix = os.path.splitext(output)[1].lower()
    kinds = {".html": PAGE, ".htm": PAGE, ".pdf": PAPER, ".svg": PICTURE}
    if suffix not in kinds:
        raise click.UsageError(
            f"{output} ends neither in .html nor in .pdf or .svg: give the format with --to."
        )
    return kinds[suffix]


def _recording(audio: str | None, page: str, embed: bool) -> str | None:
    """The address of a recording for a page: relative to it, or all its data."""
    if audio is None:
        if embed:
            raise click.UsageError("--embed-audio needs the recording: name it with --audio FILE.")
        return None
    from mimetypes import guess_type
    from urllib.parse import quote

    if not os.path.isfile(audio):
        raise click.UsageError(f"{audio} is no file: name a recording that is there.")
    if not embed:
        beside = os.path.relpath(audio, os.path.dirname(page) or os.curdir)
        return quote(PurePath(beside).as_posix())
    with open(audio, "rb") as file:
        data = b64encode(file.read()).decode()
    return f"data:{guess_type(audio)[0] or 'audio/mpeg'};base64,{data}"


def _make_all(entries: Sequence[Input], output: str | None, out_dir: str | None, wish: Wish) -> int:
    jobs, failed = _jobs(entries, output, out_dir, wish)
    waiting = [job for job in jobs if not _is_made(job)]
    for job, sheet in zip(waiting, progress(_results(waiting, wish), len(waiting)), strict=True):
        for remark in sheet.remarks:
            complain(f"{job.entry.name}: {remark}")
        if sheet.data is None:
            failed += [sheet.failed] if sheet.failed else []
        elif job.path is None:
            say_bytes(sheet.data)
        else:
            make_folder_of(job.path)
            write_atomic(job.path, sheet.data, durable=len(waiting) == 1)
    if out_dir is not None and wish.kind == PAGE:
        _write_index(jobs, out_dir)
    if failed:
        show(failed, to_stderr=output == STDOUT)
    return exit_code(failed)


def _jobs(
    entries: Sequence[Input], output: str | None, out_dir: str | None, wish: Wish
) -> tuple[list[_Job], list[FileFindings]]:
    """The sheets to make, and the findings of inputs that are too large to be read."""
    from tabtools.cli.cache import program_stamp

    program = program_stamp()
    jobs: dict[str | None, _Job] = {}
    failed: list[FileFindings] = []
    for entry in entries:
        path = None if output == STDOUT else output or _path(entry, out_dir or "", wish.kind)
        if path in jobs:
            raise click.UsageError(
                f"{jobs[path].entry.name} and {entry.name} would both be written to {path}."
            )
        if (
            path is not None
            and entry.path is not None
            and os.path.realpath(path) == os.path.realpath(entry.path)
        ):
            raise click.UsageError(f"{path} is the lesson itself: name another file.")
        try:
            data = entry.read()
        except UnreadableError as error:
            failed.append(failure(entry.name, error))
            continue
        jobs[path] = _Job(entry, path, data, stamp(data, wish, f"{program} {entry.name}"))
    return list(jobs.values()), failed


def _path(entry: Input, out_dir: str, kind: str) -> str:
    """Where a lesson's sheet goes; one called index leaves its name to the contents page."""
    base = os.path.splitext(entry.relative)[0]
    return os.path.join(out_dir, f"{base}-lesson.{kind}" if base.lower() == "index" else f"{base}.{kind}")


def _is_made(job: _Job) -> bool:
    """Whether the file holds this very sheet already."""
    if job.path is None or not os.path.exists(job.path):
        return False
    with open(job.path, "rb") as file:
        return job.mark.encode() in file.read()


def _results(jobs: Sequence[_Job], wish: Wish) -> Iterator[Made]:
    tasks = [(job.entry.name, job.data, job.entry.limit, wish, job.mark) for job in jobs]
    processes = min(os.cpu_count() or 1, len(tasks) // 2) if len(tasks) >= MANY else 1
    if processes == 1:
        yield from (make(*task) for task in tasks)
        return
    from concurrent.futures import ProcessPoolExecutor

    with ProcessPoolExecutor(processes) as pool:
        yield from pool.map(make, *zip(*tasks, strict=True), chunksize=CHUNK)


def _write_index(jobs: Sequence[_Job], out_dir: str) -> None:
    """The contents page, from what the pages themselves say."""
    from tabtools.sheet.index import card_from, index_page

    cards = []
    for job in jobs:
        if job.path is not None and os.path.exists(job.path):
            with open(job.path, "rb") as file:
                text = card_in(file.read())
            if text is not None:
                cards.append((PurePath(os.path.relpath(job.path, out_dir)).as_posix(), card_from(text)))
    if cards:
        title = os.path.basename(os.path.abspath(out_dir)) or "Lessons"
        write_atomic(os.path.join(out_dir, INDEX), index_page(title, cards).encode("utf-8", "replace"))
