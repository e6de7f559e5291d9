"""The README's tour shows what the commands really print, and its library example runs."""

from __future__ import annotations

import re
import shlex
import tomllib
from pathlib import Path

import pytest

from tabtools.config import parse, resolve
from tabtools.lint.rules import load_all
from tests.cli.support import CLEAN, run

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


def test_the_lesson_page_has_no_error_and_no_warning(tmp_path: Path) -> None:
    (page,) = re.findall(r"^```text\n(Title: .*?)^```$", README, re.MULTILINE | re.DOTALL)
    (tmp_path / "page.txt").write_text(page)
    assert run("check", tmp_path / "page.txt").exit_code == 0


def test_the_signs_of_the_readme_are_signs_of_the_table() -> None:
    signs = run("signs").stdout
    rows = re.findall(
        r"^\| `([^|]*(?:\\\|[^|]*)*)` \| [^|]*\| `([^|]*(?:\\\|[^|]*)*)` \|", README, re.MULTILINE
    )
    words = [
        word for row in rows for cell in row for word in cell.replace("\\|", "|").replace("`", "").split()
    ]
    assert len(words) > 15
    assert [word for word in words if word not in signs] == []


def test_the_library_example(monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> None:
    monkeypatch.chdir(ROOT)
    (example,) = re.findall(r"^```python\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)
    names: dict[str, object] = {}
    exec(example, names)
    assert "G# is the major third of E" in capsys.readouterr().out
    assert str(names["xml"]).startswith("b'<?xml")


def test_the_steps_of_adopting_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """On a copy of the drafts and of pages from elsewhere, with a remark that no longer silences anything."""
    for page in (*(ROOT / "samples/drafts").iterdir(), *(ROOT / "tests/cases/wild").glob("*.txt")):
        (tmp_path / page.name).write_bytes(page.read_bytes())
    old = tmp_path / "old.txt"
    old.write_text("tabtools: ignore split-number because of an old fault\n" + CLEAN)
    monkeypatch.chdir(tmp_path)
    (steps,) = re.findall(r"^```sh\n(tabtools check . --count.*?)^```$", README, re.MULTILINE | re.DOTALL)
    codes = []
    for line in steps.splitlines():
        result = run(*shlex.split(line.partition("#")[0])[1:])
        codes.append(result.exit_code)
        if "--repair" in line:
            assert "old.txt: repaired: unused-ignore 1" in result.stderr
    assert codes == [1, 1, 1, 0, 0]
    assert old.read_text() == CLEAN


def test_the_example_settings_are_right() -> None:
    (text,) = re.findall(r"^```toml\n(.*?)^```$", README, re.MULTILINE | re.DOTALL)
    rules = {rule.name: rule for rule in load_all()}
    config = parse(tomllib.loads(text), "tabtools.toml", rules)
    assert (
        resolve(config.table("a.txt", lambda patterns, path: True), rules).plan.settings.level == "beginner"
    )


def test_the_set_up_commands_are_one_line_each() -> None:
    lines = [line for line in README.splitlines() if line.startswith("python3 -m venv .venv && ")]
    assert len(lines) == 2
    assert lines[0].endswith("tabtools check samples")
    assert ".venv/bin/pytest" in lines[1]
