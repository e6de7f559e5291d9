"""Same input, same bytes out, whatever the hash seed, the locale or the time zone."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
ENVIRONMENTS = (
    {"PYTHONHASHSEED": "1", "LC_ALL": "C", "TZ": "UTC"},
    {"PYTHONHASHSEED": "2", "LC_ALL": "C.UTF-8", "TZ": "Asia/Tokyo"},
)
LESSON = "samples/12-dadgad-in-six-eight.txt"
COMMANDS = (
    ["check", "samples"],
    ["check", "samples", "--report", "json"],
    ["check", "tests/cases/musicxml/near-misses", "--report", "json"],
    ["convert", LESSON, "--to", "musicxml", "-o", "-"],
    ["convert", LESSON, "--to", "mxl", "-o", "-"],
    ["convert", LESSON, "--to", "json", "-o", "-"],
    ["convert", LESSON, "--to", "text", "-o", "-"],
    ["format", "--preview", "samples"],
    ["explain", "--all"],
    ["forms", LESSON],
    ["forms", LESSON, "--report", "json"],
    ["convert", LESSON, "--to", "text", "-o", "-", "--show", "forms"],
    ["nearest", "G", "C", "D7", "--at", "5"],
    ["palette", "--key", "G", "G", "C", "D"],
)


@pytest.mark.parametrize("arguments", COMMANDS, ids=" ".join)
def test_same_bytes(arguments: list[str]) -> None:
    outputs = [
        subprocess.run(
            [sys.executable, "-m", "tabtools", *arguments],
            cwd=ROOT,
            env={**os.environ, **environment},
            capture_output=True,
            check=False,
        ).stdout
        for environment in ENVIRONMENTS
    ]
    assert outputs[0]
    assert outputs[0] == outputs[1]
