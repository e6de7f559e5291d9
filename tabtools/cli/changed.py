"""Which inputs have changed in git since a revision.

Git is asked once for a repository and from its top, never in a folder below, and runs no program that a
repository names: a folder that looks like a repository of its own decides nothing.
"""

from __future__ import annotations

import os
import subprocess
from collections.abc import Sequence

import click

from tabtools.cli.files import Input, below

_GUARDS = (
    *("-c", "safe.bareRepository=explicit"),
    *("-c", "core.fsmonitor=false"),
    *("-c", f"core.hooksPath={os.devnull}"),
    *("-c", "diff.external="),
    "--no-optional-locks",
)


def changed_since(entries: Sequence[Input], revision: str) -> list[Input]:
    """The inputs that differ from a revision in the work tree, new ones included; standard input always.

    Raises click.UsageError where git does not know the revision, or there is no repository.
    """
    if revision.startswith("-"):
        raise click.UsageError(f"--since: {revision} is no revision.")
    here = _top(os.path.realpath(os.curdir))
    changed: dict[str, set[str]] = {}
    chosen = []
    for entry in entries:
        if entry.path is None:
            chosen.append(entry)
            continue
        folder, name = os.path.split(os.path.abspath(entry.path))
        path = os.path.join(os.path.realpath(folder), name)
        top = here if here is not None and below(path, here) else _top(os.path.dirname(path))
        if top is None:
            raise click.UsageError(f"--since: {entry.name} lies in no git repository.")
        if top not in changed:
            changed[top] = _changed(top, revision)
        if _is_among(below(path, top) or "", changed[top]):
            chosen.append(entry)
    return chosen


def _top(folder: str) -> str | None:
    """The nearest directory, from a folder upwards, that holds ``.git``."""
    while not os.path.lexists(os.path.join(folder, ".git")):
        folder, before = os.path.dirname(folder), folder
        if folder == before:
            return None
    return folder


def _is_among(path: str, changed: set[str]) -> bool:
    """Whether a path, or a directory above it (a repository within the repository), has changed."""
    while path and path not in changed:
        path = path.rpartition("/")[0]
    return bool(path)


def _changed(top: str, revision: str) -> set[str]:
    """The paths of all files of a repository that have changed."""
    differing = ("--name-only", "-z", "--no-ext-diff", "--no-textconv", "--diff-filter=d")
    tracked = _git(top, "diff", *differing, revision, "--")
    fresh = _git(top, "ls-files", "--others", "--exclude-standard", "-z")
    return {path.rstrip("/") for path in (tracked + fresh).split("\0") if path}


def _git(top: str, *arguments: str) -> str:
    command = ["git", *_GUARDS, *arguments]
    try:
        done = subprocess.run(command, cwd=top, capture_output=True, check=False)
    except FileNotFoundError:
        raise click.UsageError("--since needs git, which is not installed.") from None
    if done.returncode:
        lines = done.stderr.decode("utf-8", "replace").strip().splitlines() or ["git failed"]
        raise click.UsageError(f"--since: {lines[0]}.")
    return done.stdout.decode("utf-8", "surrogateescape")
