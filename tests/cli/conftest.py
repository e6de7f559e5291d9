"""A directory of its own for tests of the command line, with a cache of its own."""

from __future__ import annotations

from pathlib import Path

import pytest


@pytest.fixture
def here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / ".cache"))
    return tmp_path
