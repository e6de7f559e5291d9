"""The page for contributors names files that are there, and stays short."""

from __future__ import annotations

import re
from importlib import import_module
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
TEXT = (ROOT / "DEVELOPERS.md").read_text("utf-8")
_PATHS = sorted(set(re.findall(r"`((?:tabtools|tests|schemas|samples|\.ci)/?[\w./-]*)`", TEXT)))
_MODULES = sorted(set(re.findall(r"`((?:tabtools|text|lint|musicxml|forms)(?:\.[a-z_]+)+)`", TEXT)))


@pytest.mark.parametrize("path", [path for path in _PATHS if "/" in path])
def test_every_file_that_is_named_is_there(path: str) -> None:
    assert (ROOT / path).exists()


@pytest.mark.parametrize("module", _MODULES)
def test_every_module_that_is_named_is_there(module: str) -> None:
    import_module(module if module.startswith("tabtools") else f"tabtools.{module}")


def test_benchmarks_that_are_named_are_there() -> None:
    names = re.findall(r"python -m tests\.benchmarks\.([a-z_]+)", TEXT)
    assert names
    assert all((ROOT / "tests/benchmarks" / f"{name}.py").exists() for name in names)


def test_it_is_read_in_ten_minutes() -> None:
    assert len(TEXT.split()) <= 1600
