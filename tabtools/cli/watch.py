"""Checking again whenever a file changes."""

from __future__ import annotations

import os
import time
from collections.abc import Callable, Sequence

from tabtools.cli.output import complain

PAUSE = 0.5  # seconds between two looks


def watching(check: Callable[[], int], files: Callable[[], Sequence[str]]) -> int:
    """Check now, and again whenever one of the files has changed, come or gone; ends when interrupted."""
    before: dict[str, int] | None = None
    while True:
        now = _times(files())
        if now != before:
            before = now
            check()
            complain("tabtools: waiting for changes; Ctrl-C ends it")
        time.sleep(PAUSE)


def _times(files: Sequence[str]) -> dict[str, int]:
    """When each file was changed, in nanoseconds; one that is gone meanwhile is left out."""
    times = {}
    for file in files:
        try:
            times[file] = os.stat(file).st_mtime_ns
        except OSError:
            continue
    return times
