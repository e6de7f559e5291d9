"""``tabtools format``: text tab in canonical layout."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from typing import TypeVar

import click

from tabtools.cli import DONE, FINDINGS, USAGE
from tabtools.cli.files import MAX_MEGABYTES, TEXT_SUFFIXES, Input, discover, write_atomic
from tabtools.cli.load import failure
from tabtools.cli.output import complain, complain_of, say, say_bytes
from tabtools.cli.output import diff as diff_lines
from tabtools.cli.reporting import exit_code, show
from tabtools.lint.finding import FileFindings
from tabtools.reading import looks_like_musicxml
from tabtools.record import NamedTuple
from tabtools.source import Source, decode
from tabtools.text.writing.spacing import WIDTH


class _Formatted(NamedTuple):
    """An input's source and its text in canonical layout; ``left`` are the lines of systems that stay as
    they are, with the reason, and ``data`` are the bytes that were read."""

    entry: Input
    source: Source
    text: str
    left: tuple[tuple[int, str], ...]
    data: bytes

    @property
    def changed(self) -> bool:
        return self.text != self.source.text


@click.command("format", short_help="Rewrite text tab in canonical layout.")
@click.argument("paths", metavar="PATH...", nargs=-1, required=True)
@click.option(
    "--tell", is_flag=True, help="Change nothing; name the files that would change, with exit code 1 for any."
)
@click.option("--preview", is_flag=True, help="Change nothing; print what would change.")
@click.option(
    "--width",
    type=click.IntRange(min=20),
    default=WIDTH,
    show_default=True,
    help="The most columns of a line; systems are cut at bar lines.",
)
@click.option("--counts", is_flag=True, help="Write a count row (1 & 2 &) where the rhythm is known.")
@MAX_MEGABYTES
def command(paths: tuple[str, ...], tell: bool, preview: bool, width: int, counts: bool, limit: int) -> int:
    """Rewrite text tab in canonical layout, without a change to the music or to the words around it.

    PATH is a file, a directory (its .txt and .tab files, hidden ones left out) or - to read standard input
    and write the result to standard output. A file that needs no change is not written. A system in which
    something is doubtful stays as it is, and standard error says why. A file that can't be read as tab is
    reported, and the exit code is 1.
    """
    entries = discover(paths, TEXT_SUFFIXES, limit=limit)
    results, troubles = _each(entries, lambda entry: _format(entry, width, counts))
    failed = [result for result in results if isinstance(result, FileFindings)]
    formatted = [result for result in results if isinstance(result, _Formatted)]
    for result in formatted:
        for line, why in result.left:
            complain(f"{result.entry.name}:{line}: the system stays as it is: {why}")
    writes = not (tell or preview)
    to_stdout = writes and any(entry.path is None for entry in entries)
    if writes:
        formatted, unwritten = _each(formatted, _write)
        troubles += unwritten
    for trouble in troubles:
        complain_of(trouble)
    changed = [result for result in formatted if result.changed]
    if not to_stdout and (formatted or not troubles):
        lines = (
            _diffs(changed) if preview else _names(changed, "rewritten" if writes else "would be rewritten")
        )
        say("".join(lines))
    if failed:
        show(failed, to_stderr=to_stdout)
    code = exit_code(failed) or (FINDINGS if tell and changed else DONE)
    return max(code, USAGE) if troubles else code


_In = TypeVar("_In")
_Out = TypeVar("_Out")


def _each(items: Iterable[_In], work: Callable[[_In], _Out]) -> tuple[list[_Out], list[OSError]]:
    """What became of the items, and why the others can't be read or written: one bad file stops no run."""
    results: list[_Out] = []
    troubles: list[OSError] = []
    for item in items:
        try:
            results.append(work(item))
        except OSError as error:
            troubles.append(error)
    return results, troubles


def _format(entry: Input, width: int, counts: bool) -> _Formatted | FileFindings:
    from tabtools.text.writing.format import format_text

    try:
        data = entry.read()
        if looks_like_musicxml(data):
            raise click.UsageError(f"{entry.name} is MusicXML, and only text tab can be formatted.")
        source = decode(entry.name, data, entry.limit)
        formatted = format_text(source, width=width, counts=counts)
        return _Formatted(entry, source, formatted.text, formatted.left, data)
    except (OSError, click.UsageError):
        raise
    except Exception as error:
        return failure(entry.name, error, "formatting the file")


def _write(result: _Formatted) -> _Formatted:
    data = result.source.encode(result.text)
    if result.entry.path is None:
        say_bytes(data)
    elif result.changed:
        write_atomic(result.entry.path, data, before=result.data)
    return result


def _names(changed: list[_Formatted], verb: str) -> Iterator[str]:
    yield from (f"{result.entry.name}: {verb}\n" for result in changed)
    yield f"{len(changed)} file{'' if len(changed) == 1 else 's'} {verb}\n"


def _diffs(changed: list[_Formatted]) -> Iterator[str]:
    for result in changed:
        yield from diff_lines(result.source, result.text)
