"""Inputs that once hung or crashed the program: each is read, checked, repaired and formatted."""

from __future__ import annotations

from functools import partial
from pathlib import Path

import pytest

from tabtools.cli.load import check_data
from tabtools.config import Config, resolve
from tabtools.lint.rules import Rules
from tabtools.source import MAX_BYTES, UnreadableError, decode
from tabtools.text.writing.format import format_text

CASES = sorted(
    path for path in (Path(__file__).parent / "cases" / "breakers").iterdir() if path.suffix != ".md"
)
RESOLVED = resolve(Config("").general, Rules([]))


@pytest.mark.parametrize("path", CASES, ids=lambda path: path.name)
@pytest.mark.parametrize("fix", [None, "safe", "unsafe"])
def test_a_check_ends_without_a_fault_of_ours(path: Path, fix: str | None) -> None:
    checked = check_data(path.name, path.read_bytes(), RESOLVED, fix)
    assert [f.message for f in checked.file.findings if f.rule == "internal"] == []


@pytest.mark.parametrize(
    "path", [path for path in CASES if path.suffix == ".txt"], ids=lambda path: path.name
)
def test_format_ends_and_ends_in_itself(path: Path) -> None:
    layout = partial(decode, path.name, limit=MAX_BYTES)
    try:
        text = format_text(layout(path.read_bytes())).text
    except UnreadableError:
        return
    assert format_text(layout(text.encode())).text == text
