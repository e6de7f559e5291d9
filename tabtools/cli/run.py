"""One run of the check over many inputs: what is known, what is worked out, and in how many processes."""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Iterable, Iterator, Sequence
from functools import partial
from typing import TYPE_CHECKING, TypeVar

from tabtools.cli.files import Input
from tabtools.cli.load import Checked, check_data, failure
from tabtools.cli.settings import Settings
from tabtools.config import Resolved
from tabtools.lint.finding import FileFindings
from tabtools.lint.plan import Plan
from tabtools.lint.rules import COLLECTION, group_of
from tabtools.record import NamedTuple
from tabtools.source import UnreadableError

if TYPE_CHECKING:
    from tabtools.cli.cache import Cache

# How many contents are remembered for runs over many files, and for runs over one, which each read them all.
KNOWN, KNOWN_ALONE = 100_000, 1_000
MANY = 64  # from so many unknown inputs on several processes pay
CHUNK = 4
PROGRESS_AFTER = 1.0  # seconds

Result = TypeVar("Result")


class Mode(NamedTuple):
    """What a run does: ``fix`` is None for a check alone, ``safe`` or ``unsafe`` for repairs; ``jobs`` is the
    number of processes, 0 for as many as pay."""

    fix: str | None = None
    jobs: int = 0


class _Task(NamedTuple):
    """An input that has to be worked on: its place among all, and all that the work depends on."""

    place: int
    name: str
    data: bytes
    resolved: Resolved
    fix: str | None


def run(entries: Sequence[Input], settings: Settings, mode: Mode, caches: Caches) -> list[Checked]:
    """What is found in the inputs, in their order; what was repaired is in the results, nothing is written.

    What ``caches`` know already is taken from there, what they do not is put there, for the caller to save.
    An input that can't be read is a finding among those of others; a single one raises OSError.
    """
    alone = len(entries) == 1
    results: list[Checked | None] = [None] * len(entries)
    tasks: list[_Task] = []
    for index, entry in enumerate(entries):
        resolved = settings.of(_place(entry))
        resolved = by_itself(resolved) if alone else resolved
        try:
            data = entry.read()
        except UnreadableError as error:
            results[index] = Checked(failure(entry.name, error))
            continue
        except OSError as error:
            if alone:
                raise
            reason = UnreadableError(f"the file can't be read: {error.strerror or error}")
            results[index] = Checked(failure(entry.name, reason))
            continue
        known = caches.get(resolved, data, entry.name)
        if known is None or (mode.fix and any(finding.fixes for finding in known.findings)):
            tasks.append(_Task(index, entry.name, data, resolved, mode.fix))
        else:
            results[index] = Checked(known)
    for task, checked in zip(tasks, progress(_work(tasks, mode.jobs), len(tasks)), strict=True):
        results[task.place] = checked._replace(data=task.data) if checked.text is not None else checked
        if checked.text is None:
            caches.put(task.resolved, task.data, checked.file)
    return [checked for checked in results if checked is not None]


def plans(settings: Settings, entries: Sequence[Input]) -> list[Plan]:
    """What runs on the inputs, each plan once, in the order of the inputs."""
    found = {id(resolved): resolved.plan for resolved in (settings.of(_place(entry)) for entry in entries)}
    return list(found.values())


def by_itself(resolved: Resolved) -> Resolved:
    """Without the rules that compare files, for a run over one."""
    plan = resolved.plan
    names = tuple(name for name in plan.names if group_of(name, plan.rules) != COLLECTION)
    return resolved._replace(plan=plan._replace(names=names))


def _place(entry: Input) -> str | None:
    """Where an input lies; standard input would lie there by the name that it is given."""
    return entry.path or (None if entry.name == "<stdin>" else entry.name)


def _work(tasks: Sequence[_Task], jobs: int) -> Iterator[Checked]:
    jobs = jobs or ((os.cpu_count() or 1) if len(tasks) >= MANY else 1)
    if jobs == 1 or len(tasks) <= 1:
        yield from map(_check, tasks)
        return
    from concurrent.futures import ProcessPoolExecutor

    plans = {id(task.resolved): task.resolved for task in tasks}
    numbers = {key: number for number, key in enumerate(plans)}
    work = [(task.name, task.data, numbers[id(task.resolved)], task.fix) for task in tasks]
    chunk = max(1, min(CHUNK, len(tasks) // (4 * jobs)))
    with ProcessPoolExecutor(jobs, initializer=_begin, initargs=(list(plans.values()),)) as pool:
        yield from pool.map(_check_there, work, chunksize=chunk)


def _check(task: _Task) -> Checked:
    return check_data(task.name, task.data, task.resolved, task.fix)


# What the inputs depend on, in a process of its own: sent once, since rules with their texts are large.
_plans: list[Resolved] = []


def _begin(plans: list[Resolved]) -> None:
    _plans[:] = plans


def _check_there(job: tuple[str, bytes, int, str | None]) -> Checked:
    name, data, number, fix = job
    return check_data(name, data, _plans[number], fix)


def progress(results: Iterable[Result], total: int) -> Iterator[Result]:
    """Count on standard error while a long run goes on, where that is a terminal."""
    started, shown = time.monotonic(), False
    for done, result in enumerate(results, 1):
        if sys.stderr.isatty() and time.monotonic() - started > PROGRESS_AFTER:
            filled = 30 * done // total
            sys.stderr.write(f"\r[{'#' * filled}{'-' * (30 - filled)}] {done}/{total} files")
            sys.stderr.flush()
            shown = True
        yield result
    if shown:
        sys.stderr.write("\r" + " " * 60 + "\r")


class Caches:
    """A cache for every configuration of a run over so many ``inputs``; without a directory nothing is
    remembered."""

    def __init__(self, directory: str | None = None, inputs: int = 1) -> None:
        self._directory = directory
        self._most = KNOWN_ALONE if inputs == 1 else KNOWN
        self._caches: dict[int, Cache] = {}
        self._program = ""

    def get(self, resolved: Resolved, data: bytes, name: str) -> FileFindings | None:
        """What is known of a content."""
        if self._directory is None:
            return None
        from tabtools.cli.cache import key_of
        from tabtools.reading import source_of

        return self._of(resolved, self._directory).get(
            key_of(data), partial(source_of, name, data, resolved.defaults.max_bytes), name
        )

    def put(self, resolved: Resolved, data: bytes, file: FileFindings) -> None:
        """Remember what was found, unless it is that the file or the program is broken."""
        if self._directory is None or any(f.rule in ("unreadable", "internal") for f in file.findings):
            return
        from tabtools.cli.cache import key_of

        self._of(resolved, self._directory).put(key_of(data), file)

    def save(self) -> None:
        """Write all that is new."""
        for cache in self._caches.values():
            cache.save()

    def _of(self, resolved: Resolved, directory: str) -> Cache:
        from tabtools.cli.cache import Cache, program_stamp

        if id(resolved) not in self._caches:
            self._program = self._program or program_stamp()
            self._caches[id(resolved)] = Cache(directory, resolved, self._program, self._most)
        return self._caches[id(resolved)]
