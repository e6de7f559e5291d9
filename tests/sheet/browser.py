"""A real browser for the tests of pages: Debian's chromium, driven by Playwright."""

from __future__ import annotations

import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from shutil import which
from typing import Any

import pytest

# Set by .ci/run, which installs all that these tests need: then nothing is skipped.
REQUIRED = bool(os.environ.get("TABTOOLS_BROWSER_REQUIRED"))
_AXE = Path(__file__).parents[2] / "node_modules" / "axe-core" / "axe.min.js"
_ARGUMENTS = (
    "--no-sandbox --disable-gpu --disable-quic --no-first-run --disable-background-networking "
    "--disable-component-update --disable-sync"
)


def _missing(reason: str) -> None:
    if REQUIRED:
        pytest.fail(reason)
    pytest.skip(reason)


@contextmanager
def browser() -> Iterator[Any]:
    """A running browser; the test is skipped, with the reason, where there is none."""
    program = which("chromium")
    if program is None:
        _missing("no chromium is installed")
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        _missing("the Python package playwright is not installed")
    with sync_playwright() as driver:
        running = driver.chromium.launch(executable_path=program, args=_ARGUMENTS.split())
        yield running
        running.close()


def axe() -> str:
    """The script of axe-core, which looks for what hinders people with a disability."""
    if not _AXE.exists():
        _missing("axe-core is not installed: npm install --no-save axe-core")
    return _AXE.read_text("utf-8")
