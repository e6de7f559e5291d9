"""The README's tour shows what the commands really print, and its library example runs."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest

from tests.cli.support import run

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text("utf-8")
CONSOLE = re.findall(r"^```console\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)


def _steps(block: str) -> list[tuple[str, str]]:
    """Commands of a block, each with the output that is shown for it."""
    pieces = re.split(r"^\$ tabtools (.*)\n", block, flags=re.MULTILINE)[1:]
    return list(zip(pieces[::2], pieces[1::2], strict=True))


def _matches(shown: str, printed: str) -> bool:
    """A line ``…`` stands for any lines that are left out."""
    parts = [re.escape(part) for part in re.split(r"^…\n", shown, flags=re.MULTILINE)]
    return re.fullmatch("(?:.*\n)*?".join(parts), printed) is not None


@pytest.mark.parametrize("block", CONSOLE, ids=lambda block: block.split("\n")[0][2:])
def test_the_tour(block: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(ROOT)
    for command, shown in _steps(block):
        arguments = [
            part if part != "air.musicxml" else str(tmp_path / part) for part in shlex.split(command)
        ]
        printed = run(*arguments).stdout
        assert _matches(shown, printed), printed


def test_the_library_example(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(ROOT)
    (example,) = re.findall(r"^```python\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)
    names: dict[str, object] = {}
    exec(example, names)
    assert "F# is the third of D" in capsys.readouterr().out
    assert str(names["xml"]).startswith("b'<?xml")


def test_the_set_up_commands_are_one_line_each() -> None:
    lines = [line for line in README.splitlines() if line.startswith("python3 -m venv .venv && ")]
    assert len(lines) == 2
    assert lines[0].endswith("tabtools check samples")
    assert ".venv/bin/pytest" in lines[1]
