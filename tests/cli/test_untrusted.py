"""A repository of somebody we do not know: none of its code runs, and its files and names do no harm."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tabtools.report.plain import harmless, one_line
from tests.cli.support import CLEAN, OFF_NECK, run, write

ROOT = Path(__file__).parents[2]


def _git(*arguments: str) -> None:
    identity = ("-c", "user.name=A", "-c", "user.email=a@example.org")
    subprocess.run(["git", *identity, *arguments], check=True, capture_output=True)


def _bare_repository(folder: Path, marker: Path) -> None:
    """A folder that git takes for a repository of its own, with a command in its settings."""
    _git("init", "--bare", str(folder))
    _git("-C", str(folder), "config", "core.fsmonitor", f"touch {marker};false")
    _git("-C", str(folder), "config", "core.bare", "false")
    _git("-C", str(folder), "config", "core.worktree", str(folder))


def test_a_folder_shaped_like_a_repository_runs_no_command(here: Path) -> None:
    write("a.txt", CLEAN)
    _git("init")
    _git("add", ".")
    _git("commit", "-m", "lessons")
    marker = here / "ran"
    _bare_repository(here / "lessons", marker)
    write("lessons/b.txt", CLEAN)
    subprocess.run(["git", "status"], cwd="lessons", capture_output=True, check=False)
    assert marker.exists(), "the trap itself works"
    marker.unlink()
    assert run("check", ".", "--since", "HEAD", "--count").stdout == "1 file: 0 errors, 0 warnings, 0 infos\n"
    assert not marker.exists()


def test_a_revision_is_no_option_of_git(here: Path) -> None:
    write("a.txt", CLEAN)
    _git("init")
    result = run("check", ".", "--since", "--output=stolen")
    assert result.exit_code == 2
    assert not (here / "stolen").exists()


def test_the_action_imports_nothing_of_the_checked_repository() -> None:
    action = (ROOT / "action.yml").read_text()
    assert "uses:" not in action.replace("using:", "")
    assert all(" -I " in line for line in action.splitlines() if "-m pip" in line or "-m venv" in line)


@pytest.mark.parametrize("name", ["--accept-into=x.txt", "*.txt"])
def test_the_actions_own_words_are_no_names_of_files(here: Path, name: str) -> None:
    write(name, OFF_NECK)
    (here / "bin").mkdir()
    (here / "bin" / "tabtools").write_text('#!/bin/sh\nprintf "%s|" "$@"\n')
    (here / "bin" / "tabtools").chmod(0o755)
    (here / "tabtools").symlink_to(here)
    script = (ROOT / "action.yml").read_text().rpartition("run: |\n")[2]
    told = subprocess.run(
        ["bash", "-c", script],
        env={**os.environ, "RUNNER_TEMP": str(here), "PATHS": "*", "ARGUMENTS": "", "SARIF": ""},
        capture_output=True,
        text=True,
        check=True,
    )
    assert told.stdout == "check|--report|github|--|*|"


def test_what_a_terminal_would_obey_is_shown_as_an_escape(here: Path) -> None:
    name = "a\x1b]0;own\x07\n::error::x.txt"
    write(name, OFF_NECK.replace("Key: A minor", "Key: A minor\x1b[2J"))
    for report in ("text", "github", "gitlab", "junit"):
        said = run("check", ".", "--forget", "--report", report).stdout
        assert not any(sign in said for sign in "\x1b\x07\x9b\u202e")
        assert not any(line.startswith("::error::") for line in said.splitlines())
    assert "\x1b" not in run("format", ".").stdout


def test_harmless_words_stay_what_they_are() -> None:
    assert harmless("é\tü\r\nB♭ 日本") == "é\tü\nB♭ 日本"
    assert harmless("a\x1b[2J\u202eb") == "a\\x1b[2J\\u202eb"
    assert one_line("a\n::error::b") == "a\\n::error::b"


def test_links_out_of_a_directory_are_left_out(here: Path) -> None:
    write("outside.txt", OFF_NECK)
    write("in/real.txt", CLEAN)
    (here / "in" / "out.txt").symlink_to(here / "outside.txt")
    (here / "in" / "loop.txt").symlink_to(here / "in" / "loop.txt")
    (here / "in" / "same.txt").symlink_to(here / "in" / "real.txt")
    result = run("check", "in", "--forget", "--count")
    assert result.stdout == "2 files: 0 errors, 0 warnings, 0 infos\n"
    assert "out.txt: left out: the link leads out of" in result.stderr


def test_a_link_does_not_lead_a_result_out_of_the_directory(here: Path) -> None:
    write("a.txt", CLEAN)
    write("target/keep", "kept")
    (here / "out").mkdir()
    (here / "out" / "a.json").symlink_to(here / "target" / "keep")
    result = run("convert", "a.txt", "--out-dir", "out", "--to", "json")
    assert result.exit_code == 2
    assert (here / "target" / "keep").read_text() == "kept"


@pytest.mark.parametrize("line", ["!", "\\", "[z-a]", "*a*a*a*a*a*a*a*a*a*b", "******"])
def test_a_pattern_that_is_none_ends_nothing(here: Path, line: str) -> None:
    _git("init")
    write(".gitignore", f"{line}\nattic.txt\n")
    write("a" * 60 + ".txt", CLEAN)
    write("attic.txt", CLEAN)
    result = run("check", ".", "--forget", "--count")
    ignored_all = line == "******"
    assert result.exit_code == (2 if ignored_all else 0)
    assert ignored_all or result.stdout.startswith("1 file:")


@pytest.mark.parametrize(
    ("name", "text"),
    [
        ("tabtools.toml", "[[rules]]\nx = 1\n"),
        ("tabtools.toml", "[instrument]\nscale-length = nan\n"),
        ("tabtools.toml", f"[instrument]\nfrets = {'9' * 5000}\n"),
        ("tabtools.toml", f"only = {'[' * 3000}{']' * 3000}\n"),
        ("pyproject.toml", 'tool = "tabtools"\n'),
        ("pyproject.toml", "[tool]\ntabtools = 3\n"),
        ("tabtools.toml", "instrument = []\n"),
        ("tabtools.toml", "paths = {}\n"),
    ],
)
def test_settings_of_the_wrong_kind_are_no_fault_of_ours(here: Path, name: str, text: str) -> None:
    write(name, text)
    write("a.txt", CLEAN)
    assert run("check", "a.txt", "--forget").exit_code in (0, 2)


@pytest.mark.parametrize(
    "text", ["[" * 100_000, "9" * 5000, '{"format": "tabtools-accepted", "version": nan}', ""]
)
def test_an_accepted_list_of_the_wrong_kind_is_no_fault_of_ours(here: Path, text: str) -> None:
    write("accepted.json", text)
    write("a.txt", CLEAN)
    assert run("check", "a.txt", "--forget", "--accepted", "accepted.json").exit_code == 2


def test_a_name_that_is_no_utf8_is_reported(here: Path) -> None:
    name = os.fsdecode(b"lick-\xe9\xff.txt")
    try:
        write(name, OFF_NECK)
    except OSError:
        pytest.skip("this file system takes no such name")
    for report in ("text", "json", "sarif", "junit", "github", "gitlab"):
        assert run("check", ".", "--forget", "--report", report).exit_code == 1


@pytest.mark.parametrize("closed", ["<&-", ">&-", "2>&-", "<&- >&- 2>&-"])
def test_closed_streams_change_no_exit_code(here: Path, closed: str) -> None:
    write("a.txt", CLEAN)
    write("b.txt", OFF_NECK)
    command = f'"{sys.executable}" -m tabtools check --forget'
    for name, code in (("a.txt", 0), ("b.txt", 1)):
        ended = subprocess.run(
            ["bash", "-c", f"{command} {name} {closed}"],
            env={**os.environ, "PYTHONPATH": str(ROOT)},
            capture_output=True,
            check=False,
        )
        assert ended.returncode == code, ended.stderr
