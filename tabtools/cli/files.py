"""Which files a command works on, reading them, and writing without ever leaving half a file."""

from __future__ import annotations

import errno
import os
import stat
import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from tabtools.reading import HEAD, holds_root
from tabtools.source import MAX_BYTES, too_large

TEXT_SUFFIXES = (".txt", ".tab")
MUSICXML_SUFFIXES = (".musicxml", ".mxl", ".xml")
SUFFIXES = TEXT_SUFFIXES + MUSICXML_SUFFIXES
STDIN = "-"


@dataclass(frozen=True, slots=True)
class Input:
    """One input: the name that findings show, its path (None for standard input), and the path below the
    directory that it was found in, or its bare name."""

    name: str
    path: Path | None
    relative: Path

    def read(self) -> bytes:
        """Its bytes. Raises UnreadableError over MAX_BYTES, before reading where the size is known."""
        if self.path is None:
            return _read_at_most(sys.stdin.buffer)
        size = self.path.stat().st_size
        if size > MAX_BYTES:
            raise too_large(size)
        with self.path.open("rb") as file:
            return _read_at_most(file)


def _read_at_most(file: BinaryIO) -> bytes:
    data = file.read(MAX_BYTES + 1)
    if len(data) > MAX_BYTES:
        raise too_large()
    return data


def discover(paths: Sequence[str], suffixes: tuple[str, ...] = SUFFIXES) -> list[Input]:
    """The inputs that paths name, each once, in the order of the paths.

    A directory stands for the files in it and below that have one of the suffixes, sorted by path; hidden
    files and directories are left out, and so are ``.xml`` files that are not MusicXML. A file that is named
    itself is always taken. ``-`` is standard input. Raises OSError for a path that isn't there.
    """
    found: dict[str, Input] = {}
    for name in paths:
        for entry in _expand(name, suffixes):
            found.setdefault(os.path.normpath(entry.name), entry)
    return list(found.values())


def _expand(name: str, suffixes: tuple[str, ...]) -> Iterator[Input]:
    path = Path(name)
    if name == STDIN:
        yield Input("<stdin>", None, Path("stdin"))
    elif stat.S_ISDIR(path.stat().st_mode):
        for file in sorted(_walk(path)):
            if file.suffix.lower() in suffixes and _is_meant(file):
                yield Input(str(file), file, file.relative_to(path))
    else:
        yield Input(name, path, Path(path.name))


def _walk(directory: Path) -> Iterator[Path]:
    def refuse(error: OSError) -> None:
        raise error

    for folder, folders, files in os.walk(directory, onerror=refuse):
        folders[:] = [name for name in folders if not name.startswith(".")]
        yield from (Path(folder, name) for name in files if not name.startswith("."))


def _is_meant(file: Path) -> bool:
    """Regular files only, and of ``.xml``, which may hold anything, those that hold a score."""
    if not file.is_file():
        return False
    if file.suffix.lower() != ".xml":
        return True
    with file.open("rb") as opened:
        return holds_root(opened.read(HEAD))


def write_atomic(path: Path, data: bytes) -> None:
    """Write a file whole or not at all: to a new file beside it that then takes its place.

    An existing file keeps its mode; a link keeps pointing to the file that is written; a device is written
    to directly. Raises OSError, also for a file that is marked read-only.
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
