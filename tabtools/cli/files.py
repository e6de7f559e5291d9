"""Which files a command works on, reading them, and writing without ever leaving half a file."""

from __future__ import annotations

import errno
import os
import stat
import sys
from collections.abc import Callable, Iterator, Sequence
from pathlib import Path
from typing import BinaryIO

import click

from tabtools.reading import HEAD, holds_root
from tabtools.record import NamedTuple
from tabtools.source import MAX_BYTES, too_large

TEXT_SUFFIXES = (".txt", ".tab")
MUSICXML_SUFFIXES = (".musicxml", ".mxl", ".xml")
SUFFIXES = TEXT_SUFFIXES + MUSICXML_SUFFIXES
STDIN = "-"


def _bytes(context: click.Context, option: click.Parameter, megabytes: int) -> int:
    return megabytes * 1_000_000


MAX_MEGABYTES = click.option(
    "--max-megabytes",
    "limit",
    metavar="MB",
    type=click.IntRange(1, 1000),
    default=MAX_BYTES // 1_000_000,
    show_default=True,
    callback=_bytes,
    help="Refuse larger files.",
)


class Input(NamedTuple):
    """One input: the name that findings show, its path (None for standard input), the path below the
    directory that it was found in, or its bare name, and how many bytes it may have."""

    name: str
    path: Path | None
    relative: Path
    limit: int = MAX_BYTES

    def read(self) -> bytes:
        """Its bytes. Raises UnreadableError over the limit, before reading where the size is known."""
        if self.path is None:
            return _read_at_most(sys.stdin.buffer, self.limit)
        size = self.path.stat().st_size
        if size > self.limit:
            raise too_large(self.limit, size)
        with self.path.open("rb") as file:
            # A file of a few bytes needs no room for the most there may be; one that grows meanwhile does.
            data = file.read(size + 1)
            return data if len(data) <= size else data + _read_at_most(file, self.limit)

    def packed(self, xml: bytes) -> bytes:
        """A score in a package: the input's own with all else that it holds, or a new one."""
        from tabtools.musicxml.package import is_package, pack, repack

        before = self.read() if self.path is not None else b""
        return repack(before, xml) if is_package(before) else pack(xml)


def absolute(path: Path) -> Path:
    """A path from the root on without ``..``, links kept as they are."""
    return Path(os.path.normpath(path.absolute()))


def _read_at_most(file: BinaryIO, limit: int) -> bytes:
    data = file.read(limit + 1)
    if len(data) > limit:
        raise too_large(limit)
    return data


def discover(
    paths: Sequence[str],
    suffixes: tuple[str, ...] = SUFFIXES,
    *,
    excluded: Callable[[Path], bool] | None = None,
    stdin_name: str | None = None,
    limit: int = MAX_BYTES,
) -> list[Input]:
    """The inputs that paths name, each once, in the order of the paths.

    A directory stands for the files in it and below that have one of the suffixes, sorted by path; left out
    are hidden files and directories, what .gitignore files name, what is ``excluded``, and ``.xml`` files
    that are not MusicXML. A file that is named itself is always taken. ``-`` is standard input, which
    ``stdin_name`` gives a name. Raises OSError for a path that isn't there.
    """
    found: dict[str, Input] = {}
    for name in paths:
        path = Path(name)
        if name == STDIN:
            entries = [Input(stdin_name or "<stdin>", None, Path(stdin_name or "stdin"))]
        elif stat.S_ISDIR(path.stat().st_mode):
            entries = _below(path, suffixes, excluded)
        else:
            entries = [Input(name, path, Path(path.name))]
        for entry in entries:
            found.setdefault(os.path.normpath(entry.name), entry._replace(limit=limit))
    return list(found.values())


def _below(
    directory: Path, suffixes: tuple[str, ...], excluded: Callable[[Path], bool] | None
) -> list[Input]:
    shown = "" if str(directory) == os.curdir else str(directory).removesuffix(os.sep) + os.sep
    inputs = []
    for relative in sorted(_walk(directory, suffixes, excluded)):
        inner = str(Path(*relative))
        inputs.append(Input(shown + inner, Path(shown + inner), Path(inner)))
    return inputs


def _walk(
    top: Path, suffixes: tuple[str, ...], excluded: Callable[[Path], bool] | None
) -> Iterator[tuple[str, ...]]:
    """The files below a directory, each as its names from there on."""
    from tabtools.cli.ignored import Ignored

    base = absolute(top)
    waiting: list[tuple[tuple[str, ...], Ignored]] = [((), Ignored.at(base))]
    while waiting:
        names, outer = waiting.pop()
        folder = Path(base, *names)
        ignored = outer.below(folder)
        with os.scandir(folder) as entries:
            found = [entry for entry in entries if not entry.name.startswith(".")]
        for entry in found:
            is_directory = entry.is_dir(follow_symlinks=False)
            if not (is_directory or entry.name.lower().endswith(suffixes)):
                continue
            if ignored.holds(entry.path, is_directory) or (excluded and excluded(Path(entry.path))):
                continue
            if is_directory:
                waiting.append(((*names, entry.name), ignored))
            elif _is_meant(entry):
                yield (*names, entry.name)


def _is_meant(entry: os.DirEntry[str]) -> bool:
    """Regular files only, and of ``.xml``, which may hold anything, those that hold a score."""
    if not entry.is_file():
        return False
    if not entry.name.lower().endswith(".xml"):
        return True
    with Path(entry.path).open("rb") as opened:
        return holds_root(opened.read(HEAD))


def write_atomic(path: Path, data: bytes, *, durable: bool = True) -> None:
    """Write a file whole or not at all: to a new file beside it that then takes its place.

    An existing file keeps its mode; a link keeps pointing to the file that is written; a device is written
    to directly. One that is not ``durable`` may be gone after a power cut. Raises OSError, also for a file
    that is marked read-only.
    """
    target = Path(os.path.realpath(path))
    mode = _mode(target)
    if mode is not None and not stat.S_ISREG(mode):
        target.write_bytes(data)
        return
    if mode is not None and not (mode & 0o222 and os.access(target, os.W_OK)):
        raise PermissionError(errno.EACCES, "the file is read-only", str(path))
    beside = target.with_name(f".{target.name}.{os.getpid()}.tmp")
    try:
        with beside.open("xb") as file:
            file.write(data)
            file.flush()
            if durable:
                os.fsync(file.fileno())
        if mode is not None:
            beside.chmod(stat.S_IMODE(mode))
        beside.replace(target)
    except OSError as error:
        error.filename = str(path)  # and not that of the file beside it, which nobody knows
        raise
    finally:
        beside.unlink(missing_ok=True)


def _mode(path: Path) -> int | None:
    try:
        return path.stat().st_mode
    except FileNotFoundError:
        return None
