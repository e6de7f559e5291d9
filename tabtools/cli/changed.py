"""Which inputs have changed in git since a revision."""

from __future__ import annotations

import os
import subprocess
from collections.abc import Sequence

import click

from tabtools.cli.files import Input


def changed_since(entries: Sequence[Input], revision: str) -> list[Input]:
    """The inputs that differ from a revision in the work tree, new ones included; standard input always.

    Raises click.UsageError where git does not know the revision, or there is no repository.
    """
    changed: dict[str, set[str]] = {}
    kept = []
    for entry in entries:
        if entry.path is None:
            kept.append(entry)
            continue
        folder, name = os.path.split(os.path.abspath(entry.path))
        if folder not in changed:
            changed[folder] = _changed(folder, revision)
        if name in changed[folder]:
            kept.append(entry)
    return kept


def _changed(folder: str, revision: str) -> set[str]:
    """The names of the files of one directory that have changed."""
    tracked = _git(folder, "diff", "--name-only", "-z", "--relative", "--diff-filter=d", revision, "--", ".")
    fresh = _git(folder, "ls-files", "--others", "--exclude-standard", "-z", "--", ".")
    return {name for name in (tracked + fresh).split("\0") if name and "/" not in name}


def _git(folder: str, *arguments: str) -> str:
    try:
        done = subprocess.run(["git", *arguments], cwd=folder, capture_output=True, check=False)
    except FileNotFoundError:
        raise click.UsageError("--since needs git, which is not installed.") from None
    if done.returncode:
        lines = done.stderr.decode("utf-8", "replace").strip().splitlines() or ["git failed"]
        raise click.UsageError(f"--since: {lines[0]}.")
    return done.stdout.decode("utf-8", "surrogateescape")
