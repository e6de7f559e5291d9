"""Which files a command works on, reading them, and writing without ever leaving half a file."""

from __future__ import annotations

import errno
import os
import stat
import sys
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import suppress
from typing import BinaryIO

import click

from tabtools.cli.output import complain
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
    path: str | None
    relative: str
    limit: int = MAX_BYTES

    def read(self) -> bytes:
        """Its bytes. Raises UnreadableError over the limit, before reading where the size is known."""
        if self.path is None:
            return _read_at_most(sys.stdin.buffer, self.limit)
        size = os.stat(self.path).st_size
        if size > self.limit:
            raise too_large(self.limit, size)
        with open(self.path, "rb") as file:
            # A file of a few bytes needs no room for the most there may be; one that grows meanwhile does.
            data = file.read(size + 1)
            return data if len(data) <= size else data + _read_at_most(file, self.limit)

    def packed(self, xml: bytes) -> bytes:
        """A score in a package: the input's own with all else that it holds, or a new one."""
        from tabtools.musicxml.package import is_package, pack, repack

        before = self.read() if self.path is not None else b""
        return repack(before, xml) if is_package(before) else pack(xml)


def below(path: str, directory: str) -> str | None:
    """What an absolute path adds to that of a directory that it lies below, parted by ``/``; None if it lies
    elsewhere."""
    start = os.path.join(directory, "")
    return path[len(start) :].replace(os.sep, "/") if path.startswith(start) else None


def _read_at_most(file: BinaryIO, limit: int) -> bytes:
    data = file.read(limit + 1)
    if len(data) > limit:
        raise too_large(limit)
    return data


def discover(
    paths: Sequence[str],
    suffixes: tuple[str, ...] = SUFFIXES,
    *,
    excluded: Callable[[str], bool] | None = None,
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
        if name == STDIN:
            entries = [Input(stdin_name or "<stdin>", None, stdin_name or "stdin")]
        elif stat.S_ISDIR(os.stat(name).st_mode):
            entries = _inside(name, suffixes, excluded)
        else:
            entries = [Input(name, name, os.path.basename(name))]
        for entry in entries:
            found.setdefault(os.path.normpath(entry.name), entry._replace(limit=limit))
    return list(found.values())


def _inside(directory: str, suffixes: tuple[str, ...], excluded: Callable[[str], bool] | None) -> list[Input]:
    shown = os.path.join(directory.rstrip(os.sep) or os.sep, "").removeprefix(os.path.join(os.curdir, ""))
    found = (os.path.join(*names) for names in sorted(_walk(directory, suffixes, excluded)))
    return [Input(shown + inner, shown + inner, inner) for inner in found]


def _walk(
    top: str, suffixes: tuple[str, ...], excluded: Callable[[str], bool] | None
) -> Iterator[tuple[str, ...]]:
    """The files below a directory, each as its names from there on."""
    from tabtools.cli.ignored import Ignored

    base = os.path.abspath(top)
    waiting: list[tuple[tuple[str, ...], Ignored]] = [((), Ignored.at(base))]
    while waiting:
        names, outer = waiting.pop()
        folder = os.path.join(base, *names)
        ignored = outer.below(folder)
        with os.scandir(folder) as entries:
            found = [entry for entry in entries if not entry.name.startswith(".")]
        for entry in found:
            is_directory = entry.is_dir(follow_symlinks=False)
            if not (is_directory or entry.name.lower().endswith(suffixes)):
                continue
            if ignored.holds(entry.path, is_directory) or (excluded and excluded(entry.path)):
                continue
            if is_directory:
                waiting.append(((*names, entry.name), ignored))
            elif _is_meant(entry, base):
                yield (*names, entry.name)


def _is_meant(entry: os.DirEntry[str], top: str) -> bool:
    """Regular files only, no links that lead out of the directory, and of ``.xml``, which may hold anything,
    those that hold a score."""
    try:
        if not entry.is_file():
            return False
    except OSError:  # a link in a circle
        return False
    if entry.is_symlink() and below(os.path.realpath(entry.path), os.path.realpath(top)) is None:
        complain(f"{entry.path}: left out: the link leads out of {top}")
        return False
    if not entry.name.lower().endswith(".xml"):
        return True
    try:
        with open(entry.path, "rb") as opened:
            return holds_root(opened.read(HEAD))
    except OSError:
        return True  # whoever reads it says why it can't be read


def write_atomic(path: str, data: bytes, *, durable: bool = True, before: bytes | None = None) -> None:
    """Write a file whole or not at all: to a new file beside it that then takes its place.

    An existing file keeps its mode, and its owner where that may be set; a link keeps pointing to the file
    that is written; a device is written to directly. One that is not ``durable`` may be gone after a power
    cut. ``before`` is what the file must still hold.

    Raises OSError, also for a file that is marked read-only, that has other names (hard links), which would
    keep the old content, or that no longer holds ``before``.
    """
    target = os.path.realpath(path)
    state = _state(target)
    if state is not None and not stat.S_ISREG(state.st_mode):
        with open(target, "wb") as device:
            device.write(data)
        return
    if state is not None:
        _check_writable(path, target, state)
    # A short name, and one that no other run can choose: a killed run leaves its file behind.
    beside = os.path.join(os.path.dirname(target), f".tabtools-{os.urandom(8).hex()}.tmp")
    try:
        with open(beside, "xb") as file:
            file.write(data)
            file.flush()
            if durable:
                os.fsync(file.fileno())
        if state is not None:
            with suppress(PermissionError):
                os.chown(beside, state.st_uid, state.st_gid)
            os.chmod(beside, stat.S_IMODE(state.st_mode))
        if before is not None and _bytes_of(target) != before:
            raise OSError(errno.EBUSY, "the file was changed meanwhile and was not written")
        os.replace(beside, target)
    except OSError as error:
        error.filename = path  # and not that of the file beside it, which nobody knows
        raise
    finally:
        with suppress(FileNotFoundError):
            os.unlink(beside)


def make_folder_of(path: str) -> None:
    """Make the directory that a file is to be written in, where it isn't there."""
    os.makedirs(os.path.dirname(path) or os.curdir, exist_ok=True)


def _state(path: str) -> os.stat_result | None:
    try:
        return os.stat(path)
    except FileNotFoundError:
        return None


def _check_writable(path: str, target: str, state: os.stat_result) -> None:
    if not (state.st_mode & 0o222 and os.access(target, os.W_OK)):
        raise PermissionError(errno.EACCES, "the file is read-only", path)
    if state.st_nlink > 1:
        raise OSError(
            errno.EMLINK,
            f"the file has {state.st_nlink} names (hard links), and the others would keep the old content: "
            "copy it first",
            path,
        )


def _bytes_of(path: str) -> bytes | None:
    try:
        with open(path, "rb") as file:
            return file.read()
    except FileNotFoundError:
        return None


def refuse_inputs(outputs: Iterable[str], inputs: Iterable[Input]) -> None:
    """Raises click.UsageError where a file to be written is one of the inputs, under whatever name."""
    states = [(entry.name, _state(entry.path)) for entry in inputs if entry.path is not None]
    names = {(state.st_dev, state.st_ino): name for name, state in states if state is not None}
    for path in outputs:
        state = _state(path)
        if state is not None and (name := names.get((state.st_dev, state.st_ino))):
            same = os.path.normpath(name) == os.path.normpath(path)
            which = "the input itself" if same else f"the input {name}"
            raise click.UsageError(f"{path} is {which}, and what is written may hold less: name another.")
