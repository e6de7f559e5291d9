"""Rules of other packages: the example in ``tests/plugin``, installed as a package would install it."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests.cli.support import run
from tests.plugin.no_dead_end import BAD, RULE


def _install(directory: Path, monkeypatch: pytest.MonkeyPatch, line: str) -> None:
    """What pip writes for a package with this entry point."""
    info = directory / "my_rules-1.0.dist-info"
    info.mkdir()
    (info / "METADATA").write_text("Metadata-Version: 2.1\nName: my-rules\nVersion: 1.0\n")
    (info / "entry_points.txt").write_text(f"[tabtools.rules]\n{line}\n")
    monkeypatch.setattr(sys, "path", [str(directory), *sys.path])


@pytest.fixture
def plugin(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    _install(tmp_path, monkeypatch, "no-dead-end = tests.plugin.no_dead_end:RULE")
    monkeypatch.chdir(tmp_path)
    Path("a.txt").write_text(BAD)
    return tmp_path


def test_a_plugin_rule_runs_and_is_explained(plugin: Path) -> None:
    result = run("check", "a.txt", "--show", "info")
    assert "a.txt:4:16: info no-dead-end: the last note is dead" in result.stdout
    assert RULE.why in run("explain", "no-dead-end").stdout
    assert "  no-dead-end " in run("explain").stdout
    assert "## no-dead-end" in run("explain", "--all").stdout


def test_it_is_configured_and_silenced_like_our_own(plugin: Path) -> None:
    Path("tabtools.toml").write_text('[rules.no-dead-end]\nseverity = "error"\n')
    assert "a.txt:4:16: error no-dead-end" in run("check", "a.txt").stdout
    Path("tabtools.toml").write_text("[rules.no-dead-end]\nnotes = 5\n")
    assert "no-dead-end" not in run("check", "a.txt").stdout
    Path("tabtools.toml").write_text("[rules.no-dead-end]\nnote = 5\n")
    assert "did you mean notes?" in run("check", "a.txt").stderr
    Path("tabtools.toml").unlink()
    Path("a.txt").write_text("tabtools: ignore no-dead-end in file because it is a rhythm study\n" + BAD)
    assert run("check", "a.txt").stdout == "1 file: 0 errors, 0 warnings, 0 infos\n"


def test_several_processes_run_it_too(plugin: Path) -> None:
    Path("b.txt").write_text(BAD)
    assert run("check", ".", "--jobs", "2", "--count").stdout.startswith("2  no-dead-end\n")


@pytest.mark.parametrize(
    ("line", "words"),
    [
        (
            "broken = tests.plugin.nowhere:RULE",
            "the plug-in rule broken (tests.plugin.nowhere:RULE) can't be loaded",
        ),
        ("other-name = tests.plugin.no_dead_end:RULE", "is no rule named other-name"),
        (
            "bar-overfull = tabtools.lint.rules.rhythm.bar_overfull:RULE",
            "there is a rule bar-overfull already",
        ),
    ],
)
def test_a_wrong_plugin_is_one_line(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, line: str, words: str
) -> None:
    _install(tmp_path, monkeypatch, line)
    (tmp_path / "a.txt").write_text(BAD)
    result = run("check", tmp_path / "a.txt")
    assert (result.exit_code, result.stdout) == (2, "")
    assert words in result.stderr
    assert result.stderr.count("\n") == 1
